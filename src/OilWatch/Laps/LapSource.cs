namespace OilWatch.Laps;

/// <summary>What tells one lap from the next.</summary>
public enum LapSource
{
    /// <summary>Nothing: the log is not cut into laps.</summary>
    None,

    /// <summary>A gate line of the car file, crossed by latitude and longitude.</summary>
    Gate,

    /// <summary>A channel that counts laps.</summary>
    LapChannel,

    /// <summary>A channel that pulses or changes when the line is passed.</summary>
    Beacon,
}
