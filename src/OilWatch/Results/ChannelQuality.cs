using OilWatch.Channels;

namespace OilWatch.Results;

/// <summary>How good one used channel was.</summary>
public sealed record ChannelQuality
{
    /// <summary>Its role.</summary>
    public required Role Role { get; init; }

    /// <summary>The channel's name in the log.</summary>
    public required string Source { get; init; }

    /// <summary>Readings a second, median.</summary>
    public double? RateHz { get; init; }

    /// <summary>Readings taken.</summary>
    public long Samples { get; init; }

    /// <summary>Smallest value believed, in the role's unit.</summary>
    public double? Min { get; init; }

    /// <summary>Largest value believed.</summary>
    public double? Max { get; init; }

    /// <summary>Seconds without readings while the log went on.</summary>
    public double GapS { get; init; }

    /// <summary>Seconds masked because the sensor was not to be believed.</summary>
    public double MaskedS { get; init; }

    /// <summary>Single wild readings removed.</summary>
    public long SpikesRemoved { get; init; }

    /// <summary><c>good</c>, <c>suspect</c> or <c>bad</c>.</summary>
    public string Quality { get; init; } = "good";
}
