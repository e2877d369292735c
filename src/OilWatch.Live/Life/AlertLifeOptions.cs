using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Live.Life;

/// <summary>When the pit is told of an alert, and when it is left in peace.</summary>
public sealed record AlertLifeOptions
{
    /// <summary>The defaults.</summary>
    public static AlertLifeOptions Default { get; } = new();

    /// <summary>Kinds that are treated otherwise than <see cref="Usual"/>.</summary>
    public ImmutableDictionary<AlertKind, KindLife> Kinds { get; init; } = ImmutableDictionary<AlertKind, KindLife>.Empty;

    /// <summary>Every other kind. Default: said at once, over at once, no deadband: what an alert is has been weighed before it is raised.</summary>
    public KindLife Usual { get; init; }

    /// <summary>So many alerts may be said within <see cref="FloodWindowS"/>; then only warnings, and what is graver than all that stands. Default 10.</summary>
    /// <remarks>An operator who is given more than about ten alarms in ten minutes stops reading them: the usual limit for an alarm flood (check-values 10).</remarks>
    public int FloodCount { get; init; } = 10;

    /// <summary>The window of <see cref="FloodCount"/>, s of log time. Default 600.</summary>
    public double FloodWindowS { get; init; } = 600;

    /// <summary>Alerts kept standing at most, 1 or more. Default 200; beyond that the least of them go.</summary>
    public int MostStanding { get; init; } = 200;

    /// <summary>How alerts of a kind are treated.</summary>
    public KindLife Of(AlertKind kind) => Kinds.TryGetValue(kind, out KindLife life) ? life : Usual;
}
