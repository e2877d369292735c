using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Pressure;

/// <summary>How healthy pressure is learned.</summary>
public sealed record PressureModelOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "pressure_model";

    /// <summary>The defaults.</summary>
    public static PressureModelOptions Default { get; } = new();

    /// <summary>Running is calm while lateral and braking loads are below this, g. Range 0.1 to 1. Default 0.35.</summary>
    public double CalmG { get; init; } = 0.35;

    /// <summary>Running is calm only this long after the last load, s: oil takes that long to come back. Range 0 to 5. Default 0.8.</summary>
    public double CalmAfterS { get; init; } = 0.8;

    /// <summary>Least calm running for a fit while the run goes on, s; a third of it once the run is over. Range 5 to 600. Default 15.</summary>
    public double LeastCalmS { get; init; } = 15;

    /// <summary>Rule of thumb where nothing could be learned, kPa for each 1000 rpm. Range 10 to 120. Default 48.3 (7 psi).</summary>
    public double RuleOfThumbKpa { get; init; } = 48.3;

    /// <summary>Highest pressure that the rule of thumb expects, kPa. Range 100 to 1000. Default 300.</summary>
    public double RuleOfThumbTopKpa { get; init; } = 300;

    /// <summary>Pressure is not judged for this long after the engine starts, s. Range 0 to 30. Default 4.</summary>
    public double StartUpS { get; init; } = 4;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<PressureModelOptions>> Limits { get; } =
    [
        new()
        {
            Key = "calm_g", Unit = "g", Min = 0.1, Max = 1, Source = "common practice, no source",
            Meaning = "running is calm, and healthy pressure learned from it, while lateral and braking loads are below this",
            Get = o => o.CalmG, With = (o, v) => o with { CalmG = v },
        },
        new()
        {
            Key = "calm_after_s", Unit = "s", Min = 0, Max = 5, Source = "time that oil takes to come back; common practice, no source",
            Meaning = "running is calm only this long after the last load",
            Get = o => o.CalmAfterS, With = (o, v) => o with { CalmAfterS = v },
        },
        new()
        {
            Key = "least_calm_s", Unit = "s", Min = 5, Max = 600, Source = "common practice, no source",
            Meaning = "least calm running from which healthy pressure is learned while the run goes on; a third of it once the run is over",
            Get = o => o.LeastCalmS, With = (o, v) => o with { LeastCalmS = v },
        },
        new()
        {
            Key = "rule_of_thumb_kpa", Unit = "kPa per 1000 rpm", Min = 10, Max = 120,
            Source = "lower end of 7 to 10 psi for each 1000 rpm; common practice, no source",
            Meaning = "healthy pressure where nothing could be learned",
            Get = o => o.RuleOfThumbKpa, With = (o, v) => o with { RuleOfThumbKpa = v },
        },
        new()
        {
            Key = "rule_of_thumb_top_kpa", Unit = "kPa", Min = 100, Max = 1000, Source = "common practice, no source",
            Meaning = "highest pressure that the rule of thumb expects",
            Get = o => o.RuleOfThumbTopKpa, With = (o, v) => o with { RuleOfThumbTopKpa = v },
        },
        new()
        {
            Key = "start_up_s", Unit = "s", Min = 0, Max = 30, Source = "time to fill the galleries; common practice, no source",
            Meaning = "pressure is not judged for this long after the engine starts",
            Get = o => o.StartUpS, With = (o, v) => o with { StartUpS = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() => Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>();
}
