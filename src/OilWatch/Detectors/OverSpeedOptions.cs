using System.Collections.Immutable;
using OilWatch.Cars;
using static OilWatch.Cars.LimitOf<OilWatch.Detectors.OverSpeedOptions>;

namespace OilWatch.Detectors;

/// <summary>When an engine speed is called too high.</summary>
public sealed record OverSpeedOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "over_speed";

    private const string Practice = "common practice, no source";

    /// <summary>The defaults.</summary>
    public static OverSpeedOptions Default { get; } = new();

    /// <summary>The limit, rpm; 0 takes the car file's <c>redline_rpm</c>, and without that nothing is judged. Range 0 to 30000. Default 0.</summary>
    public double Rpm { get; init; }

    /// <summary>Passing the limit by less than this is not called, rpm: a limiter overshoots. Range 0 to 2000. Default 100.</summary>
    public double MarginRpm { get; init; } = 100;

    /// <summary>How long the limit must be passed, s. Range 0 to 5. Default 0.1.</summary>
    public double HoldS { get; init; } = 0.1;

    /// <summary>Passing the limit by this share of it is a caution. Range 0 to 0.5. Default 0.03.</summary>
    public double CautionShare { get; init; } = 0.03;

    /// <summary>Passing the limit by this share of it is a warning. Range 0 to 1. Default 0.08.</summary>
    public double WarningShare { get; init; } = 0.08;

    /// <summary>It is over when engine speed has been below the limit for this long, s. Range 0 to 30. Default 1.</summary>
    public double ClearHoldS { get; init; } = 1;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<OverSpeedOptions>> Limits { get; } =
    [
        Of("rpm", "rpm", 0, 30_000, "the limit; 0 takes redline_rpm of [engine], and without that nothing is judged", "the engine builder; no default",
            o => o.Rpm, (o, v) => o with { Rpm = v }),
        Of("margin_rpm", "rpm", 0, 2000, "passing the limit by less than this is not called", "overshoot of a limiter; " + Practice,
            o => o.MarginRpm, (o, v) => o with { MarginRpm = v }),
        Of("hold_s", "s", 0, 5, "how long the limit must be passed", "two readings at 20 Hz; " + Practice, o => o.HoldS, (o, v) => o with { HoldS = v }),
        Of("caution_share", "of the limit", 0, 0.5, "passing the limit by this share of it is a caution", Practice, o => o.CautionShare, (o, v) => o with { CautionShare = v }),
        Of("warning_share", "of the limit", 0, 1, "passing the limit by this share of it is a warning", Practice, o => o.WarningShare, (o, v) => o with { WarningShare = v }),
        Of("clear_hold_s", "s", 0, 30, "it is over when engine speed has been below the limit for this long", Practice, o => o.ClearHoldS, (o, v) => o with { ClearHoldS = v }),
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<OverSpeedOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(CautionShare < WarningShare))
        {
            yield return FormattableString.Invariant(
                $"limits.{Section}.caution_share = {CautionShare} must be below limits.{Section}.warning_share = {WarningShare}");
        }
    }
}
