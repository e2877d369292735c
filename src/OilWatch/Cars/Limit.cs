namespace OilWatch.Cars;

/// <summary>One threshold that the car file may change.</summary>
public abstract record Limit
{
    /// <summary>Its key in the car file's section, such as <c>caution_ratio</c>.</summary>
    public required string Key { get; init; }

    /// <summary>Its unit in words, such as <c>of expected</c>, <c>s</c>, <c>kPa</c>.</summary>
    public required string Unit { get; init; }

    /// <summary>Smallest value allowed.</summary>
    public required double Min { get; init; }

    /// <summary>Largest value allowed.</summary>
    public required double Max { get; init; }

    /// <summary>What it does, in one sentence.</summary>
    public required string Meaning { get; init; }

    /// <summary>Where the default comes from.</summary>
    public required string Source { get; init; }
}
