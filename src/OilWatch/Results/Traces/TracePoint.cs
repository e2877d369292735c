namespace OilWatch.Results.Traces;

/// <summary>The engine at one instant of a close-up. Absent is <see cref="float.NaN"/>, never 0.</summary>
/// <remarks>For drawing only: single precision, and thinned out where readings come faster than can be drawn.</remarks>
public readonly record struct TracePoint
{
    /// <summary>When.</summary>
    public required LogTime At { get; init; }

    /// <summary>Oil pressure, kPa gauge.</summary>
    public required float PressureKpa { get; init; }

    /// <summary>What a healthy system shows, kPa gauge.</summary>
    public required float ExpectedKpa { get; init; }

    /// <summary>One standard deviation of <see cref="ExpectedKpa"/>, kPa; absent where pressure was not judged.</summary>
    public required float SpreadKpa { get; init; }

    /// <summary>Sustained lateral acceleration, g; positive in a left-hand corner.</summary>
    public required float LateralG { get; init; }

    /// <summary>Sustained longitudinal acceleration, g; negative under braking.</summary>
    public required float LongitudinalG { get; init; }

    /// <summary>Engine speed, rpm.</summary>
    public required float SpeedRpm { get; init; }

    /// <summary>Crankcase pressure, kPa gauge.</summary>
    public required float CrankcaseKpa { get; init; }

    /// <summary>Vibration level, g; mm/s where its channel gives a velocity.</summary>
    public required float VibrationLevel { get; init; }

    /// <summary>Oil temperature, °C.</summary>
    public required float OilTemperatureC { get; init; }
}
