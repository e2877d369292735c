namespace OilWatch.Reading.Can;

/// <summary>Turns the millisecond stamps of SLCAN, which start again every minute, into time that goes on.</summary>
/// <remarks>A gap of a minute or more cannot be told from a shorter one.</remarks>
internal struct SlcanClock
{
    private const int WrapMs = 60_000;
    private const int OutOfOrderMs = 1_000;                                      // a step back of less is a step back, not a new minute

    private long _totalMs;
    private int _lastMs;
    private bool _started;

    /// <summary>The instant of a stamp, ns since the first one.</summary>
    public long Advance(int stampMs)
    {
        int step = _started ? stampMs - _lastMs : 0;
        if (step < -OutOfOrderMs) step += WrapMs;
        else if (step > WrapMs - OutOfOrderMs) step -= WrapMs;
        (_started, _lastMs, _totalMs) = (true, stampMs, _totalMs + step);
        return _totalMs * 1_000_000;
    }
}
