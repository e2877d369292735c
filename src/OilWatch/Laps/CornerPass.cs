using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>One pass through one corner: a row of <c>corners.csv</c>, and a trial for the question whether pressure drops there.</summary>
public sealed record CornerPass
{
    /// <summary>Lap number as the log counts it, or null.</summary>
    public int? Lap { get; init; }

    /// <summary>Corner label such as <c>C3L</c>, or null where the circuit is not known.</summary>
    public string? Corner { get; init; }

    /// <summary>Left or right.</summary>
    public required LoadDirection Direction { get; init; }

    /// <summary>When the corner was entered.</summary>
    public required LogTime Entry { get; init; }

    /// <summary>When it was left.</summary>
    public required LogTime Exit { get; init; }

    /// <summary>Seconds of sustained load in it.</summary>
    public required double SustainedS { get; init; }

    /// <summary>Highest sustained lateral acceleration, g, as a magnitude.</summary>
    public double? PeakLateralG { get; init; }

    /// <summary>Mean lateral acceleration, g, as a magnitude.</summary>
    public double? MeanLateralG { get; init; }

    /// <summary>Seconds from entry to exit in which pressure could be judged.</summary>
    public double JudgedS { get; init; }

    /// <summary>Mean engine speed, rpm.</summary>
    public double? MeanRpm { get; init; }

    /// <summary>Mean oil temperature, °C.</summary>
    public double? OilTemperatureC { get; init; }

    /// <summary>Lowest oil pressure, kPa gauge.</summary>
    public double? OilPressureMinKpa { get; init; }

    /// <summary>Lowest ratio of oil pressure to expected.</summary>
    public double? OilPressureMinRatio { get; init; }

    /// <summary>Seconds from the start of the sustained load to the start of the drop; null where no drop came.</summary>
    public double? TimeToDropS { get; init; }

    /// <summary>True when an oil-starvation alert began in it; null where pressure could not be judged.</summary>
    public bool? Starved { get; init; }
}
