using OilWatch.Alerts;

namespace OilWatch.Vibration;

/// <summary>The measurements of one rise of vibration above its healthy level.</summary>
public readonly record struct VibrationRise
{
    /// <summary>The watched band's name, or null for the vibration level as a whole.</summary>
    public string? Band { get; init; }

    /// <summary>When it left what is healthy.</summary>
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

    /// <summary>Lowest engine speed at which it shows, rpm; NaN when it shows at all speeds.</summary>
    public double FromRpm { get; init; }

    /// <summary>Highest engine speed at which it shows, rpm; NaN when it shows at all speeds.</summary>
    public double ToRpm { get; init; }

    /// <summary>Middle of the narrow band of the spectrum that showed the rise before the level as a whole did, Hz; NaN where the level showed it.</summary>
    public double NarrowHz { get; init; }

    /// <summary>The most that the level in that band has been over its healthy level; NaN without one.</summary>
    public double NarrowRatio { get; init; }

    /// <summary>Level over healthy at the same engine speed, as it stands: a mean over about 2 s.</summary>
    public double Ratio { get; init; }

    /// <summary>The worst that <see cref="Ratio"/> has been.</summary>
    public double WorstRatio { get; init; }

    /// <summary>Level at the worst moment, in <see cref="Unit"/>.</summary>
    public double Level { get; init; }

    /// <summary>Healthy level at the engine speed of that moment, in <see cref="Unit"/>.</summary>
    public double Healthy { get; init; }

    /// <summary>What levels are in: <c>g</c>, or <c>mm/s</c> of a channel that gives a velocity.</summary>
    public string Unit { get => field ?? "g"; init; }

    /// <summary>Engine speed at the worst moment, rpm.</summary>
    public double RpmAtWorst { get; init; }

    /// <summary>Lap number when it was called, or <see cref="Frames.EngineFrame.NoLap"/>.</summary>
    public int Lap { get; init; }

    /// <summary>Seconds from start to end.</summary>
    public double DurationS => End.SecondsSince(Start);
}
