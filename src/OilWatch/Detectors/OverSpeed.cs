using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The measurements of one stretch of too high an engine speed.</summary>
public readonly record struct OverSpeed
{
    /// <summary>When the limit was passed.</summary>
    public LogTime Start { get; init; }

    /// <summary>When it was called.</summary>
    public LogTime Raised { get; init; }

    /// <summary>When engine speed was back below the limit, or the last instant known.</summary>
    public LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; }

    /// <summary>Worst severity reached.</summary>
    public Severity Severity { get; init; }

    /// <summary>When that severity was reached.</summary>
    public LogTime SeverityAt { get; init; }

    /// <summary>The limit, rpm.</summary>
    public double LimitRpm { get; init; }

    /// <summary>Highest engine speed, rpm.</summary>
    public double PeakRpm { get; init; }

    /// <summary>Seconds above the limit.</summary>
    public double DurationS { get; init; }

    /// <summary>Crank revolutions turned above the limit.</summary>
    public double Revolutions { get; init; }

    /// <summary>True when the throttle was shut at the highest engine speed: driven by the wheels. False when it was open or is not known.</summary>
    public bool Driven { get; init; }
}
