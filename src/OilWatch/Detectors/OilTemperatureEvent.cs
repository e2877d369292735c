using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The measurements of one stretch of oil too hot, or too cold for the engine speed.</summary>
public readonly record struct OilTemperatureEvent
{
    /// <summary>True for high engine speed with cold oil, false for oil too hot.</summary>
    public bool IsCold { get; init; }

    /// <summary>When it began.</summary>
    public LogTime Start { get; init; }

    /// <summary>When it was called.</summary>
    public LogTime Raised { get; init; }

    /// <summary>When it was over, or the last instant known.</summary>
    public LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; }

    /// <summary>Worst severity reached.</summary>
    public Severity Severity { get; init; }

    /// <summary>When that severity was reached.</summary>
    public LogTime SeverityAt { get; init; }

    /// <summary>The limit that was passed, °C.</summary>
    public double LimitC { get; init; }

    /// <summary>Hottest, or with cold oil coldest while engine speed was high, °C.</summary>
    public double WorstC { get; init; }

    /// <summary>Engine speed then, or with cold oil the highest, rpm; NaN when not known.</summary>
    public double WorstRpm { get; init; }

    /// <summary>Seconds too hot, or seconds of high engine speed.</summary>
    public double DurationS { get; init; }

    /// <summary>Crank revolutions turned in them.</summary>
    public double Revolutions { get; init; }
}
