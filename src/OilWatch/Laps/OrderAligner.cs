namespace OilWatch.Laps;

/// <summary>Tells which corner of a circuit known by order a stretch of load is, as the lap goes on.</summary>
/// <remarks>
/// Edit distance between the turns so far and the usual order, row by row (R. A. Wagner, M. J. Fischer, J. ACM 21 (1974) 168-173): a corner
/// that leaves no mark or one that is too many costs a little, a turn to the other side cannot be that corner, and a corner
/// entered early or late in the lap, at the lap's pace so far, costs the shift as a share of the lap. A kink missed before another corner of
/// its side is told by that shift; one turn too many costs more than the largest shift, so that a lap held up half way keeps its labels.
/// </remarks>
internal sealed class OrderAligner
{
    private const double Missed = 0.05;
    private const double TooMany = 0.15;
    private const double MaxShift = 0.12;
    private const double PaceKnownFrom = 0.15;

    private readonly CircuitMap _map;
    private double[] _row, _before;
    private double _pace = 1, _paceBefore = 1;

    public OrderAligner(CircuitMap map)
    {
        _map = map;
        _row = new double[map.Corners.Length + 1];
        _before = new double[map.Corners.Length + 1];
        Begin();
    }

    /// <summary>A lap begins at the line.</summary>
    public void Begin()
    {
        for (int j = 0; j < _row.Length; j++) _row[j] = _before[j] = j * Missed;
        _pace = _paceBefore = 1;
    }

    /// <summary>Takes the next turn; the index of its corner, or -1 when it is one too many.</summary>
    /// <param name="left">Which way.</param>
    /// <param name="sinceStartS">Seconds since the line.</param>
    public int Next(bool left, double sinceStartS)
    {
        (_row, _before) = (_before, _row);
        _paceBefore = _pace;
        double share = sinceStartS / _map.ReferenceS;
        int best = -1;
        double bestCost = double.PositiveInfinity;
        _row[0] = _before[0] + TooMany;
        double extra = _row[0];
        for (int j = 1; j < _row.Length; j++)
        {
            Corner corner = _map.Corners[j - 1];
            double match = corner.Direction == Alerts.LoadDirection.Left == left
                ? _before[j - 1] + Math.Min(Math.Abs((share / _pace) - _map.EntryShares[j - 1]), MaxShift)
                : double.PositiveInfinity;
            if (match < bestCost) (best, bestCost) = (j - 1, match);
            double tooMany = _before[j] + TooMany;
            extra = Math.Min(extra, tooMany);
            _row[j] = Math.Min(Math.Min(match, tooMany), _row[j - 1] + Missed);
        }

        if (bestCost >= extra) return -1;
        double usual = _map.EntryShares[best];
        if (usual > PaceKnownFrom) _pace = Math.Clamp(share / usual, 0.9, 1.25);
        return best;
    }

    /// <summary>The last turn was none after all.</summary>
    public void TakeBack() => (_row, _before, _pace) = (_before, _row, _paceBefore);
}
