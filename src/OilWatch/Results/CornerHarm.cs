using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>What one corner did to the engine over the session.</summary>
public sealed record CornerHarm
{
    /// <summary>Corner label such as <c>C3L</c>.</summary>
    public required string Corner { get; init; }

    /// <summary>Left or right.</summary>
    public required LoadDirection Direction { get; init; }

    /// <summary>Passes through it.</summary>
    public required int Passes { get; init; }

    /// <summary>Passes with an oil-starvation alert.</summary>
    public required int Starved { get; init; }

    /// <summary>Seconds starved in all.</summary>
    public required double StarvationS { get; init; }

    /// <summary>Crank revolutions turned while starved.</summary>
    public required double StarvationRevolutions { get; init; }

    /// <summary>Deficit integrated over all events, kPa·s; what the ranking goes by.</summary>
    public required double DeficitKpaS { get; init; }

    /// <summary>Worst pressure, kPa gauge.</summary>
    public double? MinKpa { get; init; }

    /// <summary>Worst ratio of pressure to expected.</summary>
    public double? MinRatio { get; init; }

    /// <summary>Median seconds of load before the drop.</summary>
    public double? MedianTimeToDropS { get; init; }
}
