namespace OilWatch.Detectors;

/// <summary>How long a channel normally shows the same value, learned as it runs: coarse steps and slow updates are not faults.</summary>
internal struct RunLengths
{
    private const int Bins = 24;
    private const int Few = 20;
    private const int OftenEnough = 5;
    private const int AlikeBins = 3;           // twice as long, and a bin for its width
    private const double FirstS = 0.01;        // bins grow by the square root of two: 0.01 s to about 29 s
    private static readonly double[] Lengths = [.. Enumerable.Range(0, Bins + 1).Select(bin => FirstS * Math.Pow(2, bin / 2.0))];
    private Counts _counts;
    private long _total;
    private double _seconds;
    private int _usualBin;
    private long _longer;               // runs in the bins from the usual one up: always fewer than often
    private double _lastS;
    private int _lastBin;

    /// <summary>Takes a run of equal values that ended by a change.</summary>
    /// <param name="seconds">From its first reading to the first different one.</param>
    public void Add(double seconds)
    {
        // Mostly the channel's own interval again.
        if (seconds != _lastS)
        {
            _lastS = seconds;
            _lastBin = BinOf(seconds);
        }
        _counts[_lastBin]++;
        _total++;
        _seconds += seconds;
        if (_lastBin < _usualBin) return;
        // Counts only grow, so what is usual only moves up.
        _longer++;
        while (_longer >= OftenEnough) _longer -= _counts[_usualBin++];
    }

    /// <summary>How long all runs took together, s.</summary>
    public readonly double SecondsInAll => _seconds;

    /// <summary>How many runs were at least as long, to the width of a bin.</summary>
    public readonly long AtLeast(double seconds)
    {
        long longer = 0;
        for (int i = BinOf(seconds); i < Bins; i++) longer += _counts[i];
        return longer;
    }

    /// <summary>True once enough runs were seen to say what is usual.</summary>
    public readonly bool IsKnown => _total >= 200;

    /// <summary>
    /// A length that is usual, s: the longest that came up at least <see cref="OftenEnough"/> times. What happened once or twice may have been a
    /// fault. <paramref name="untilKnown"/> while too little is known.
    /// </summary>
    public readonly double UsualS(double untilKnown) => _total < Few ? untilKnown : Lengths[_usualBin];

    /// <summary>True where nearly all runs are about as long as most: what is much longer is no habit of the channel.</summary>
    public readonly bool AreAlike
    {
        get
        {
            int most = 0;
            for (int i = 1; i < Bins; i++)
                if (_counts[i] > _counts[most]) most = i;
            return _total >= Few && _usualBin <= most + AlikeBins;
        }
    }

    /// <summary>How often an hour noise alone makes a run at least this long; infinite until enough is known.</summary>
    /// <remarks>
    /// Where one reading equals the one before by chance, run lengths fall off geometrically: as many as are twice as long, so is the share that is half as long multiplied with itself. A few
    /// long runs are left out, since they may have been faults.
    /// </remarks>
    /// <param name="seconds">The length.</param>
    /// <param name="parts">How many times longer than the runs it is told from.</param>
    public readonly double TimesAnHour(double seconds, int parts = 2)
    {
        if (_total < Few) return double.PositiveInfinity;
        double share = Math.Max(1, AtLeast(seconds / parts) - OftenEnough + 2) / (double)_total, all = share;
        for (int part = 1; part < parts; part++) all *= share;
        return all * _total / _seconds * 3600;
    }

    private static int BinOf(double seconds) =>
        seconds <= FirstS ? 0 : Math.Min(Bins - 1, (int)(2 * Math.Log2(seconds / FirstS)));

    [System.Runtime.CompilerServices.InlineArray(Bins)]
    private struct Counts
    {
        private long _first;
    }
}
