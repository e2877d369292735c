using System.Collections.Immutable;
using OilWatch.Cars;
using static OilWatch.Cars.LimitOf<OilWatch.Crankcase.CrankcaseOptions>;

namespace OilWatch.Crankcase;

/// <summary>When a crankcase that has lost its vacuum, is under pressure or is pulled too deep is called.</summary>
public sealed record CrankcaseOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "crankcase";

    private const string Practice = "common practice, no source";

    /// <summary>The defaults.</summary>
    public static CrankcaseOptions Default { get; } = new();

    /// <summary>A crankcase whose healthy vacuum is deeper than this has a pump that makes it, kPa; only there a loss is judged. Range 1 to 30. Default 3.</summary>
    public double LeastVacuumKpa { get; init; } = 3;

    /// <summary>Vacuum below this share of healthy for <see cref="HoldS"/> is a loss. Range 0.2 to 0.9. Default 0.62.</summary>
    /// <remarks>A little above 0.6, so that noise does not put off the call of a loss that settles at 60 % of healthy.</remarks>
    public double LossRatio { get; init; } = 0.62;

    /// <summary>Vacuum back above this share of healthy for <see cref="HoldS"/> ends a loss. Range 0.25 to 0.98. Default 0.74.</summary>
    public double ClearRatio { get; init; } = 0.74;

    /// <summary>Vacuum below this share of healthy for <see cref="HoldS"/> is a warning. Range 0 to 0.6. Default 0.25.</summary>
    public double GoneRatio { get; init; } = 0.25;

    /// <summary>How long a loss, and pressure under load, must hold, s. Range 0.5 to 30. Default 3.</summary>
    public double HoldS { get; init; } = 3;

    /// <summary>A loss is judged above this engine speed, rpm: below it a pump makes little. Range 500 to 10000. Default 2500.</summary>
    public double JudgeAboveRpm { get; init; } = 2500;

    /// <summary>Crankcase pressure under load this much above ambient, or above what the engine healthy shows there, is blow-by, kPa. Range 0.2 to 50. Default 1.5.</summary>
    public double BlowByKpa { get; init; } = 1.5;

    /// <summary>Crankcase pressure under load above this is blow-by whatever is usual, kPa. Range 0.5 to 100. Default 7 (1 psi).</summary>
    public double HighestKpa { get; init; } = 7;

    /// <summary>The engine is under load from this throttle opening on, percent. Range 10 to 100. Default 50.</summary>
    /// <remarks>Without a throttle channel, at engine speeds above 3500 rpm.</remarks>
    public double LoadThrottlePercent { get; init; } = 50;

    /// <summary>Vacuum deeper than this is too deep for seals and pin oiling, kPa. Range 10 to 95. Default 60.</summary>
    public double TooDeepKpa { get; init; } = 60;

    /// <summary>Vacuum deeper than this is a caution, kPa. Range 10 to 100. Default 75.</summary>
    public double MuchTooDeepKpa { get; init; } = 75;

    /// <summary>How long vacuum must be too deep, s. Range 0.5 to 60. Default 5.</summary>
    public double TooDeepHoldS { get; init; } = 5;

    /// <summary>Least running from which healthy crankcase pressure is learned, s. Range 10 to 600. Default 30.</summary>
    public double LeastRunningS { get; init; } = 30;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<CrankcaseOptions>> Limits { get; } =
    [
        Of("least_vacuum_kpa", "kPa", 1, 30, "a crankcase whose healthy vacuum is deeper than this has a pump that makes it; only there a loss is judged", Practice,
            o => o.LeastVacuumKpa, (o, v) => o with { LeastVacuumKpa = v }),
        Of("loss_ratio", "of healthy", 0.2, 0.9, "vacuum below this share of healthy for the hold is a loss", "60 % of healthy, with room for noise; " + Practice,
            o => o.LossRatio, (o, v) => o with { LossRatio = v }),
        Of("clear_ratio", "of healthy", 0.25, 0.98, "vacuum above this share of healthy for the hold ends a loss", Practice,
            o => o.ClearRatio, (o, v) => o with { ClearRatio = v }),
        Of("gone_ratio", "of healthy", 0, 0.6, "vacuum below this share of healthy for the hold is a warning", Practice, o => o.GoneRatio, (o, v) => o with { GoneRatio = v }),
        Of("hold_s", "s", 0.5, 30, "how long a loss, and pressure under load, must hold", Practice, o => o.HoldS, (o, v) => o with { HoldS = v }),
        Of("judge_above_rpm", "rpm", 500, 10_000, "a loss is judged above this engine speed", Practice, o => o.JudgeAboveRpm, (o, v) => o with { JudgeAboveRpm = v }),
        Of("blow_by_kpa", "kPa", 0.2, 50, "crankcase pressure under load this much above ambient, or above what is usual there, is blow-by", Practice,
            o => o.BlowByKpa, (o, v) => o with { BlowByKpa = v }),
        Of("highest_kpa", "kPa", 0.5, 100, "crankcase pressure under load above this is blow-by whatever is usual", "1 psi; " + Practice,
            o => o.HighestKpa, (o, v) => o with { HighestKpa = v }),
        Of("load_throttle_percent", "%", 10, 100, "throttle opening from which the engine is under load", Practice,
            o => o.LoadThrottlePercent, (o, v) => o with { LoadThrottlePercent = v }),
        Of("too_deep_kpa", "kPa", 10, 95, "vacuum deeper than this is too deep for seals and pin oiling", "about 18 inHg; " + Practice,
            o => o.TooDeepKpa, (o, v) => o with { TooDeepKpa = v }),
        Of("much_too_deep_kpa", "kPa", 10, 100, "vacuum deeper than this is a caution", "about 22 inHg; " + Practice,
            o => o.MuchTooDeepKpa, (o, v) => o with { MuchTooDeepKpa = v }),
        Of("too_deep_hold_s", "s", 0.5, 60, "how long vacuum must be too deep", Practice, o => o.TooDeepHoldS, (o, v) => o with { TooDeepHoldS = v }),
        Of("least_running_s", "s", 10, 600, "least running from which healthy crankcase pressure is learned", Practice,
            o => o.LeastRunningS, (o, v) => o with { LeastRunningS = v }),
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<CrankcaseOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(LossRatio < ClearRatio)) yield return Order("loss_ratio", LossRatio, "clear_ratio", ClearRatio);
        if (!(GoneRatio < LossRatio)) yield return Order("gone_ratio", GoneRatio, "loss_ratio", LossRatio);
        if (!(BlowByKpa < HighestKpa)) yield return Order("blow_by_kpa", BlowByKpa, "highest_kpa", HighestKpa);
        if (!(TooDeepKpa < MuchTooDeepKpa)) yield return Order("too_deep_kpa", TooDeepKpa, "much_too_deep_kpa", MuchTooDeepKpa);
    }

    private static string Order(string lower, double low, string upper, double high) =>
        FormattableString.Invariant($"limits.{Section}.{lower} = {low} must be below limits.{Section}.{upper} = {high}");
}
