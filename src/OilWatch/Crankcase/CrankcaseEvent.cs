using OilWatch.Alerts;

namespace OilWatch.Crankcase;

/// <summary>The measurements of one stretch in which the crankcase was not as it should be.</summary>
public readonly record struct CrankcaseEvent
{
    /// <summary>What is wrong.</summary>
    public CrankcaseCause Cause { get; init; }

    /// <summary>When it left what is healthy.</summary>
    public LogTime Start { get; init; }

    /// <summary>When it was called.</summary>
    public LogTime Raised { get; init; }

    /// <summary>When it was over, or the last instant judged.</summary>
    public LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; }

    /// <summary>Worst severity reached.</summary>
    public Severity Severity { get; init; }

    /// <summary>When that severity was reached.</summary>
    public LogTime SeverityAt { get; init; }

    /// <summary>Pressure at the worst moment, smoothed over a second, kPa gauge; below ambient is negative.</summary>
    public double WorstKpa { get; init; }

    /// <summary>What a healthy engine shows at that moment, kPa gauge; NaN when not known.</summary>
    public double ExpectedKpa { get; init; }

    /// <summary>Least share of healthy vacuum; NaN when not judged.</summary>
    public double MinRatio { get; init; }

    /// <summary>Engine speed at the worst moment, rpm.</summary>
    public double RpmAtWorst { get; init; }

    /// <summary>Oil temperature at the worst moment, °C; NaN when not known.</summary>
    public double OilTemperatureC { get; init; }

    /// <summary>Seconds judged and not as they should be.</summary>
    public double DurationS { get; init; }

    /// <summary>Crank revolutions turned from start to end.</summary>
    public double Revolutions { get; init; }

    /// <summary>True when a crankcase that lost its vacuum came under pressure too.</summary>
    public bool UnderPressure { get; init; }
}
