using System.Collections.Immutable;
using OilWatch.Cars;
using static OilWatch.Cars.LimitOf<OilWatch.Vibration.VibrationOptions>;

namespace OilWatch.Vibration;

/// <summary>When a rise of vibration above its healthy level is called, how severe it is, and when it is over.</summary>
/// <remarks>No standard covers vibration of a race engine in a car; these are starting points to be set with the engine's builder.</remarks>
public sealed record VibrationOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "vibration";

    /// <summary>The defaults.</summary>
    public static VibrationOptions Default { get; } = new();

    /// <summary>Level over healthy at the same engine speed that is called. Range 1.1 to 10. Default 1.5.</summary>
    public double RiseRatio { get; init; } = 1.5;

    /// <summary>Level over healthy that is a caution. Range 1.1 to 20. Default 2.</summary>
    public double CautionRatio { get; init; } = 2;

    /// <summary>Level over healthy that is a warning. Range 1.1 to 50. Default 3.5.</summary>
    public double WarningRatio { get; init; } = 3.5;

    /// <summary>Engine speed from which vibration is learned and judged, rpm. Range 0 to 10000. Default 1500.</summary>
    public double AboveRpm { get; init; } = 1500;

    /// <summary>How much running the healthy level is learned from, s. Range 20 to 3600. Default 180.</summary>
    public double LearnS { get; init; } = 180;

    /// <summary>How long a rise must show in all before it is called, s. Range 0.2 to 60. Default 2.</summary>
    public double LeastAboveS { get; init; } = 2;

    /// <summary>How long it must be healthy again, s of running at the speeds concerned. Range 1 to 600. Default 10.</summary>
    public double ClearHoldS { get; init; } = 10;

    /// <summary>A gap in the vibration channel longer than this ends an event, s. Range 1 to 600. Default 30.</summary>
    public double LongestGapS { get; init; } = 30;

    /// <summary>Mean time between false calls by noise alone, h. Range 0.1 to 100000. Default 1000.</summary>
    public double FalseCallHours { get; init; } = 1000;

    /// <summary>What the level channel is in; the log says so, not the car file.</summary>
    internal string LevelUnit { get; init; } = "g";

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<VibrationOptions>> Limits { get; } =
    [
        Of("rise_ratio", "of healthy", 1.1, 10, "vibration at this ratio of its healthy level at the same engine speed is called", Practice,
            o => o.RiseRatio, (o, v) => o with { RiseRatio = v }),
        Of("caution_ratio", "of healthy", 1.1, 20, "vibration at this ratio of healthy is a caution", Practice,
            o => o.CautionRatio, (o, v) => o with { CautionRatio = v }),
        Of("warning_ratio", "of healthy", 1.1, 50, "vibration at this ratio of healthy is a warning", Practice,
            o => o.WarningRatio, (o, v) => o with { WarningRatio = v }),
        Of("above_rpm", "rpm", 0, 10_000, "vibration is learned and judged from this engine speed", Practice,
            o => o.AboveRpm, (o, v) => o with { AboveRpm = v }),
        Of("learn_s", "s", 20, 3600, "how much running the healthy level is learned from", Practice, o => o.LearnS, (o, v) => o with { LearnS = v }),
        Of("least_above_s", "s", 0.2, 60, "how long a rise must show in all before it is called", Practice,
            o => o.LeastAboveS, (o, v) => o with { LeastAboveS = v }),
        Of("clear_hold_s", "s", 1, 600, "how long vibration must be healthy again, at the speeds concerned", Practice,
            o => o.ClearHoldS, (o, v) => o with { ClearHoldS = v }),
        Of("longest_gap_s", "s", 1, 600, "a gap in the vibration channel longer than this ends an event", Practice,
            o => o.LongestGapS, (o, v) => o with { LongestGapS = v }),
        Of("false_call_hours", "h", 0.1, 100_000, "mean time between false calls by noise alone", "Siegmund's run length of the cumulative sum test",
            o => o.FalseCallHours, (o, v) => o with { FalseCallHours = v }),
    ];

    private const string Practice = "common practice, no source";

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<VibrationOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(RiseRatio < CautionRatio)) yield return Order("rise_ratio", RiseRatio, "caution_ratio", CautionRatio);
        if (!(CautionRatio < WarningRatio)) yield return Order("caution_ratio", CautionRatio, "warning_ratio", WarningRatio);
    }

    private static string Order(string lower, double low, string upper, double high) =>
        FormattableString.Invariant($"limits.{Section}.{lower} = {low} must be below limits.{Section}.{upper} = {high}");
}
