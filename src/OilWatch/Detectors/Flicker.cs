namespace OilWatch.Detectors;

/// <summary>Whether the noise of a channel is larger than its steps, and how long such a channel stands still by chance.</summary>
/// <remarks>
/// Noise turns round at most of its changes (white noise at two of three), and seldom to the very value it had before: what goes to and fro between two neighbouring steps rests on the edge
/// of one, and what a foot or a thermostat moves goes on the way it goes. Neither is noise, however often it changes.
/// </remarks>
internal struct Flicker
{
    private const int Few = 200;
    private const double FreeShare = 0.1;
    private const double CommonShare = 0.02;
    private double _before;
    private long _changes;
    private long _free;
    private RunLengths _runs;

    /// <summary>True where noise moves the value at any time.</summary>
    public readonly bool IsNoise => _changes >= Few && _free > FreeShare * _changes;

    /// <summary>Takes a run of equal values that ended by a change.</summary>
    /// <param name="value">What the run showed.</param>
    /// <param name="next">What came after it.</param>
    /// <param name="seconds">How long it was.</param>
    public void Add(double value, double next, double seconds)
    {
        _changes++;
        if ((value - _before) * (next - value) < 0 && next != _before) _free++;
        _before = value;
        _runs.Add(seconds);
    }

    /// <summary>True where every fiftieth run is at least this long, as where a reading is written on many records: that the value stands says nothing then.</summary>
    public readonly bool IsCommon(double seconds) => _runs.AtLeast(seconds) > CommonShare * _changes;

    /// <summary>How often an hour noise alone makes a run at least this long.</summary>
    /// <remarks>The least of what runs half, a third and a quarter as long say: where few runs are known, the longer ones among them say least.</remarks>
    public readonly double TimesAnHour(double seconds) => Math.Min(_runs.TimesAnHour(seconds), Math.Min(_runs.TimesAnHour(seconds, 3), _runs.TimesAnHour(seconds, 4)));
}
