namespace OilWatch.Channels;

/// <summary>One channel of a log as the inventory shows it: what it holds, and what it is used for.</summary>
public sealed record ChannelListing
{
    /// <summary>The channel.</summary>
    public required LogChannel Channel { get; init; }

    /// <summary>Readings with a value.</summary>
    public long Samples { get; init; }

    /// <summary>Readings that the source itself marks as having no value.</summary>
    public long Absent { get; init; }

    /// <summary>Readings a second, from the median time between two; null with fewer than two readings.</summary>
    public double? RateHz { get; init; }

    /// <summary>Smallest value, in the channel's own unit; null without a value.</summary>
    public double? Min { get; init; }

    /// <summary>Largest value, in the channel's own unit; null without a value.</summary>
    public double? Max { get; init; }

    /// <summary>Stretches without readings while the log went on: longer than five times the usual time between two, and than 0.5 s.</summary>
    public long GapCount { get; init; }

    /// <summary>Seconds in those stretches.</summary>
    public double GapS { get; init; }

    /// <summary>The role it fills, or null.</summary>
    public Role? Role { get; init; }

    /// <summary>One sentence: why it fills the role; null without one.</summary>
    public string? Why { get; init; }
}
