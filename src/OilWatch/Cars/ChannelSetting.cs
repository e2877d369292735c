namespace OilWatch.Cars;

/// <summary>What the car file says of one role's channel.</summary>
public sealed record ChannelSetting
{
    /// <summary>Column or CAN signal name; null to find it by name as usual.</summary>
    public string? Source { get; init; }

    /// <summary>The unit that its values are in, where the log does not say or says wrongly.</summary>
    public string? Unit { get; init; }

    /// <summary>True to turn the sign round.</summary>
    public bool Invert { get; init; }

    /// <summary>A side file that holds the channel (a WAV for vibration, NMEA sentences for GPS), relative to the car file.</summary>
    public string? File { get; init; }

    /// <summary>Role units per full scale of the side file, or null.</summary>
    public double? Scale { get; init; }

    /// <summary>Log time at which the side file begins, s, or null.</summary>
    public double? StartS { get; init; }
}
