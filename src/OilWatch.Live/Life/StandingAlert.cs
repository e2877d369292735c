using OilWatch.Alerts;

namespace OilWatch.Live.Life;

/// <summary>An alert as the pit sees it.</summary>
public sealed record StandingAlert
{
    /// <summary>Its number, that of its first <see cref="AlertChange"/>.</summary>
    public required int Id { get; init; }

    /// <summary>The alert as it stands; where several were added up, the latest, with the worst severity of all.</summary>
    public required Alert Alert { get; init; }

    /// <summary>When its last step was known.</summary>
    public required LogTime At { get; init; }

    /// <summary>How many times it came, 1 or more.</summary>
    public int Times { get; init; } = 1;

    /// <summary>True when what it is about is over, or no longer known.</summary>
    public bool IsOver { get; init; }

    /// <summary>True when somebody has said that they have seen it.</summary>
    public bool IsAcknowledged { get; init; }

    /// <summary>True when it was not said because too many were.</summary>
    public bool IsHeld { get; init; }
}
