namespace OilWatch.Laps;

/// <summary>One stretch of sustained braking: a trial for the question whether pressure drops under braking.</summary>
public sealed record BrakingZone
{
    /// <summary>Lap number as the log counts it, or null.</summary>
    public int? Lap { get; init; }

    /// <summary>Label of the corner braked for, such as <c>C3L</c>, or null.</summary>
    public string? Corner { get; init; }

    /// <summary>When sustained braking began.</summary>
    public required LogTime Entry { get; init; }

    /// <summary>When it ended.</summary>
    public required LogTime Exit { get; init; }

    /// <summary>Highest sustained deceleration, g, as a magnitude.</summary>
    public required double PeakG { get; init; }

    /// <summary>Mean engine speed, rpm, or null.</summary>
    public double? MeanRpm { get; init; }

    /// <summary>Mean oil temperature, °C, or null.</summary>
    public double? OilTemperatureC { get; init; }

    /// <summary>Lowest ratio of oil pressure to expected, or null where it could not be judged.</summary>
    public double? MinRatio { get; init; }

    /// <summary>Seconds from the start of the braking to the start of the drop; null where no drop came.</summary>
    public double? TimeToDropS { get; init; }

    /// <summary>True when oil starvation under braking began in it; null where pressure could not be judged.</summary>
    public bool? Starved { get; init; }

    /// <summary>Seconds of sustained braking.</summary>
    public double HoldS => Exit.SecondsSince(Entry);
}
