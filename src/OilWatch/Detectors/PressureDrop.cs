using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The measurements of one fall of oil pressure.</summary>
public readonly record struct PressureDrop
{
    /// <summary>When pressure left what is healthy.</summary>
    public LogTime Start { get; init; }

    /// <summary>When it was called.</summary>
    public LogTime Raised { get; init; }

    /// <summary>When it was back, or the last instant judged.</summary>
    public LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; }

    /// <summary>Worst severity reached.</summary>
    public Severity Severity { get; init; }

    /// <summary>When that severity was reached.</summary>
    public LogTime SeverityAt { get; init; }

    /// <summary>Which way the load acted; <see cref="LoadDirection.None"/> for a drop without load.</summary>
    public LoadDirection Direction { get; init; }

    /// <summary>When the load began that led to it.</summary>
    public LogTime LoadSince { get; init; }

    /// <summary>Seconds of sustained load before the drop; NaN without load.</summary>
    public double LoadBeforeS { get; init; }

    /// <summary>The load along the other axis that acted beside it or just before; none where there was none.</summary>
    internal LoadDirection OtherDirection { get; init; }

    /// <summary>How long that one had acted before the drop, s.</summary>
    internal double OtherLoadS { get; init; }

    /// <summary>Largest sustained lateral acceleration, g, as a magnitude; NaN when not known.</summary>
    public double PeakLateralG { get; init; }

    /// <summary>Worst pressure, kPa gauge.</summary>
    public double MinKpa { get; init; }

    /// <summary>Expected pressure at the worst ratio, kPa gauge.</summary>
    public double ExpectedKpa { get; init; }

    /// <summary>What this engine's own curve showed then, kPa gauge, where it was too low to be believed and <see cref="ExpectedKpa"/> is the rule of thumb's; otherwise NaN.</summary>
    internal double DisbelievedKpa { get; init; }

    /// <summary>The pressure below which bearings were in danger at the instant for which it was called by that alone, kPa gauge; otherwise NaN.</summary>
    internal double DangerKpa { get; init; }

    /// <summary>Worst ratio of pressure to expected.</summary>
    public double MinRatio { get; init; }

    /// <summary>Engine speed at the worst ratio, rpm.</summary>
    public double RpmAtMin { get; init; }

    /// <summary>Oil temperature at the worst ratio, °C; NaN when not known.</summary>
    public double OilTemperatureC { get; init; }

    /// <summary>Seconds below.</summary>
    public double DurationS { get; init; }

    /// <summary>Deficit integrated over the time below, kPa·s.</summary>
    public double DeficitKpaS { get; init; }

    /// <summary>Crank revolutions turned in the time below.</summary>
    public double Revolutions { get; init; }

    /// <summary>True when the pressure sensor looked doubtful while it was called.</summary>
    public bool SensorDoubtful { get; init; }

    /// <summary>How often pressure came back and fell again within it.</summary>
    public int Returns { get; init; }
}
