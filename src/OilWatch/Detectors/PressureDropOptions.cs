using System.Collections.Immutable;
using OilWatch.Cars;
using static OilWatch.Cars.LimitOf<OilWatch.Detectors.PressureDropOptions>;

namespace OilWatch.Detectors;

/// <summary>When a fall of oil pressure is called, how severe it is, and when it is over.</summary>
public sealed record PressureDropOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "pressure_drop";

    /// <summary>The defaults.</summary>
    public static PressureDropOptions Default { get; } = new();

    /// <summary>At or below this ratio of expected pressure a drop can be at least advisory; recovery is above it. Range 0.5 to 0.98. Default 0.90.</summary>
    public double AdvisoryRatio { get; init; } = 0.90;

    /// <summary>At or below this ratio for <see cref="CautionHoldS"/> a drop is at least a caution. Range 0.3 to 0.95. Default 0.75.</summary>
    public double CautionRatio { get; init; } = 0.75;

    /// <summary>How long <see cref="CautionRatio"/> must hold, s. Range 0 to 5. Default 0.15.</summary>
    public double CautionHoldS { get; init; } = 0.15;

    /// <summary>A drop is a caution or a warning only above this engine speed, rpm. Range 500 to 10000. Default 2500.</summary>
    public double CautionAboveRpm { get; init; } = 2500;

    /// <summary>At or below this ratio for <see cref="WarningHoldS"/> a drop is a warning. Range 0.1 to 0.9. Default 0.5.</summary>
    public double WarningRatio { get; init; } = 0.5;

    /// <summary>How long <see cref="WarningRatio"/> must hold, s. Range 0 to 5. Default 0.3.</summary>
    public double WarningHoldS { get; init; } = 0.3;

    /// <summary>Less pressure than this for each 1000 rpm, above <see cref="DangerAboveRpm"/>, is a warning after the caution hold, kPa. Range 0 to 80. Default 20 (3 psi).</summary>
    public double DangerKpaPer1000Rpm { get; init; } = 20;

    /// <summary>Engine speed above which <see cref="DangerKpaPer1000Rpm"/> counts, rpm. Range 1000 to 12000. Default 3500.</summary>
    public double DangerAboveRpm { get; init; } = 3500;

    /// <summary>How long danger pressure must hold to be called by itself, where healthy pressure as it is known is hardly more, s. Range 0.2 to 30. Default 1.</summary>
    /// <remarks>Longer than pressure takes to follow an engine that leaps up from idle.</remarks>
    public double DangerHoldS { get; init; } = 1;

    /// <summary>Crank revolutions in one event, at or below the caution ratio, that make it a warning. Range 10 to 10000. Default 150.</summary>
    public double WarningRevolutions { get; init; } = 150;

    /// <summary>Load from which a drop counts as starvation, g. Range 0.1 to 2. Default 0.45.</summary>
    public double LoadG { get; init; } = 0.45;

    /// <summary>How long after the load has gone a drop is still its doing, s. Range 0 to 5. Default 1.5.</summary>
    public double LoadReturnS { get; init; } = 1.5;

    /// <summary>How long recovery must hold, s. Range 0 to 10. Default 0.8.</summary>
    public double ClearHoldS { get; init; } = 0.8;

    /// <summary>Under the same load, drops closer than this are one event, s. Range 0 to 30. Default 2.5.</summary>
    public double SameLoadHoldS { get; init; } = 2.5;

    /// <summary>A drop that lasts this long after the load has gone is no starvation, s. Range 1 to 60. Default 4.</summary>
    public double OutlastsLoadS { get; init; } = 4;

    /// <summary>A gap in the data longer than this ends an event, s. Range 0.2 to 10. Default 1.5.</summary>
    public double LongestGapS { get; init; } = 1.5;

    /// <summary>Mean time between false calls by sensor noise alone, h. Range 0.1 to 10000. Default 100.</summary>
    public double FalseCallHours { get; init; } = 100;

    /// <summary>Least evidence for a call: deficit beyond the advisory ratio, as a share of expected, times seconds. Range 0 to 1. Default 0.018.</summary>
    /// <remarks>25 % below calls in 0.12 s, 60 % below in 0.04 s, 15 % below in 0.36 s.</remarks>
    public double LeastEvidenceS { get; init; } = 0.018;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<PressureDropOptions>> Limits { get; } =
    [
        Of("advisory_ratio", "of expected", 0.5, 0.98, "pressure at or below this ratio of healthy can be an advisory; recovery is above it",
            "results contract: 10 % below healthy", o => o.AdvisoryRatio, (o, v) => o with { AdvisoryRatio = v }),
        Of("caution_ratio", "of expected", 0.3, 0.95, "pressure at or below this ratio of healthy for the hold is at least a caution",
            "results contract: 25 % below healthy", o => o.CautionRatio, (o, v) => o with { CautionRatio = v }),
        Of("caution_hold_s", "s", 0, 5, "how long the caution ratio must hold",
            "results contract: 0.15 s", o => o.CautionHoldS, (o, v) => o with { CautionHoldS = v }),
        Of("caution_above_rpm", "rpm", 500, 10_000, "a drop is a caution or a warning only above this engine speed",
            "results contract: 2500 rpm", o => o.CautionAboveRpm, (o, v) => o with { CautionAboveRpm = v }),
        Of("warning_ratio", "of expected", 0.1, 0.9, "pressure at or below this ratio of healthy for the hold is a warning",
            Practice, o => o.WarningRatio, (o, v) => o with { WarningRatio = v }),
        Of("warning_hold_s", "s", 0, 5, "how long the warning ratio must hold", Practice, o => o.WarningHoldS, (o, v) => o with { WarningHoldS = v }),
        Of("danger_kpa_per_1000_rpm", "kPa per 1000 rpm", 0, 80, "less pressure than this at speed is a warning whatever the ratio",
            "about 3 psi for each 1000 rpm; " + Practice, o => o.DangerKpaPer1000Rpm, (o, v) => o with { DangerKpaPer1000Rpm = v }),
        Of("danger_above_rpm", "rpm", 1000, 12_000, "engine speed above which the danger pressure counts", Practice,
            o => o.DangerAboveRpm, (o, v) => o with { DangerAboveRpm = v }),
        Of("danger_hold_s", "s", 0.2, 30, "how long the danger pressure must hold to be a warning by itself, whatever is known to be healthy", Practice,
            o => o.DangerHoldS, (o, v) => o with { DangerHoldS = v }),
        Of("warning_revolutions", "crank revolutions", 10, 10_000, "revolutions in one event at or below the caution ratio that make it a warning", Practice,
            o => o.WarningRevolutions, (o, v) => o with { WarningRevolutions = v }),
        Of("load_g", "g", 0.1, 2, "sustained load from which a drop counts as starvation", Practice, o => o.LoadG, (o, v) => o with { LoadG = v }),
        Of("load_return_s", "s", 0, 5, "how long after the load has gone a drop is still its doing", Practice,
            o => o.LoadReturnS, (o, v) => o with { LoadReturnS = v }),
        Of("clear_hold_s", "s", 0, 10, "how long recovery must hold", Practice, o => o.ClearHoldS, (o, v) => o with { ClearHoldS = v }),
        Of("same_load_hold_s", "s", 0, 30, "under the same load, drops closer than this are one event", Practice,
            o => o.SameLoadHoldS, (o, v) => o with { SameLoadHoldS = v }),
        Of("outlasts_load_s", "s", 1, 60, "a drop that lasts this long after the load has gone is no starvation", Practice,
            o => o.OutlastsLoadS, (o, v) => o with { OutlastsLoadS = v }),
        Of("longest_gap_s", "s", 0.2, 10, "a gap in the data longer than this ends an event", Practice, o => o.LongestGapS, (o, v) => o with { LongestGapS = v }),
        Of("false_call_hours", "h", 0.1, 10_000, "mean time between false calls by sensor noise alone",
            "Siegmund's run length of the cumulative sum test", o => o.FalseCallHours, (o, v) => o with { FalseCallHours = v }),
        Of("least_evidence_s", "share of expected times s", 0, 1, "least evidence for a call: deficit beyond the advisory ratio times seconds", Practice,
            o => o.LeastEvidenceS, (o, v) => o with { LeastEvidenceS = v }),
    ];

    private const string Practice = "common practice, no source";

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<PressureDropOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(CautionRatio < AdvisoryRatio)) yield return Order("caution_ratio", CautionRatio, "advisory_ratio", AdvisoryRatio);
        if (!(WarningRatio < CautionRatio)) yield return Order("warning_ratio", WarningRatio, "caution_ratio", CautionRatio);
    }

    private static string Order(string lower, double low, string upper, double high) =>
        FormattableString.Invariant($"limits.{Section}.{lower} = {low} must be below limits.{Section}.{upper} = {high}");
}
