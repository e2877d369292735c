namespace OilWatch.Detectors;

/// <summary>Finds a value that leaps to and fro between the same two levels, each time within one reading.</summary>
/// <remarks>
/// Every leap ends where the last but one began, and what lies between two leaps stands still: a contact that opens and closes. What swings, as the pressure of oil with air in it does, comes
/// to other heights and does not stand.
/// </remarks>
internal struct FlipWatch
{
    private const int ToTell = 4;
    private const double LongestS = 0.5;                // between two leaps
    private const double AgreeShare = 0.1;              // of the leap
    private LogTime _at;
    private double _from;
    private double _to;

    /// <summary>Leaps in a row.</summary>
    public int Count { get; private set; }

    /// <summary>When the first of them came.</summary>
    public LogTime Since { get; private set; }

    /// <summary>Takes a reading and the one before it; true when it is one more leap of many.</summary>
    /// <param name="at">When.</param>
    /// <param name="earlier">The reading before the last.</param>
    /// <param name="before">The reading before it.</param>
    /// <param name="value">The reading.</param>
    /// <param name="least">Smallest leap that is one.</param>
    public bool Step(LogTime at, double earlier, double before, double value, double least)
    {
        double leap = value - before, agree = AgreeShare * Math.Abs(leap);
        if (!(Math.Abs(leap) >= least)) return false;
        if (!(Math.Abs(before - earlier) <= agree)) Count = 0;
        bool again = Count > 0 && at.SecondsSince(_at) <= LongestS && Math.Abs(before - _to) <= agree && Math.Abs(value - _from) <= agree;
        if (!again) Since = at;
        Count = again ? Count + 1 : 1;
        (_at, _from, _to) = (at, before, value);
        return Count >= ToTell;
    }
}
