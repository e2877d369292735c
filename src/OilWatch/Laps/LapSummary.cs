namespace OilWatch.Laps;

/// <summary>One lap: a row of <c>laps.csv</c>. Null is "not known", never 0.</summary>
public sealed record LapSummary
{
    /// <summary>Number as the log counts it.</summary>
    public required int Lap { get; init; }

    /// <summary>Whether it is a whole timed lap.</summary>
    public required LapKind Kind { get; init; }

    /// <summary>When it began.</summary>
    public required LogTime Start { get; init; }

    /// <summary>When it ended.</summary>
    public required LogTime End { get; init; }

    /// <summary>Crank revolutions turned.</summary>
    public double? EngineRevolutions { get; init; }

    /// <summary>Highest engine speed, rpm.</summary>
    public double? PeakRpm { get; init; }

    /// <summary>Highest sustained lateral acceleration, g, as a magnitude.</summary>
    public double? PeakLateralG { get; init; }

    /// <summary>Lowest oil pressure while judged, kPa gauge.</summary>
    public double? OilPressureMinKpa { get; init; }

    /// <summary>Lowest ratio of oil pressure to expected.</summary>
    public double? OilPressureMinRatio { get; init; }

    /// <summary>Oil-starvation alerts that began in it.</summary>
    public int? StarvationEvents { get; init; }

    /// <summary>Seconds starved.</summary>
    public double? StarvationS { get; init; }

    /// <summary>Crank revolutions turned while starved.</summary>
    public double? StarvationRevolutions { get; init; }

    /// <summary>Seconds of low oil pressure without load.</summary>
    public double? LowPressureS { get; init; }

    /// <summary>Highest oil temperature, °C.</summary>
    public double? OilTemperatureMaxC { get; init; }

    /// <summary>Mean crankcase pressure, kPa gauge.</summary>
    public double? CrankcasePressureMeanKpa { get; init; }

    /// <summary>Highest crankcase pressure, kPa gauge.</summary>
    public double? CrankcasePressureMaxKpa { get; init; }

    /// <summary>Highest vibration level, in the channel's unit.</summary>
    public double? VibrationMax { get; init; }

    /// <summary>Seconds inside the car file's bands.</summary>
    public double? BandDwellS { get; init; }
}
