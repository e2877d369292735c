using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Vibration;

/// <summary>When a stay in an engine-speed band to keep out of is called.</summary>
public sealed record SpeedBandOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "speed_bands";

    /// <summary>The defaults.</summary>
    public static SpeedBandOptions Default { get; } = new();

    /// <summary>A stay longer than this is an advisory, s. Range 0.1 to 600. Default 2.</summary>
    public double LongestStayS { get; init; } = 2;

    /// <summary>A stay longer than this is a caution, s. Range 0.1 to 3600. Default 10.</summary>
    public double CautionStayS { get; init; } = 10;

    /// <summary>Leaving for less than this does not end a stay, s. Range 0 to 10. Default 0.3.</summary>
    public double LeaveHoldS { get; init; } = 0.3;

    /// <summary>A gap in engine speed longer than this ends a stay, s. Range 0.1 to 10. Default 1.</summary>
    public double LongestGapS { get; init; } = 1;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<SpeedBandOptions>> Limits { get; } =
    [
        new()
        {
            Key = "longest_stay_s", Unit = "s", Min = 0.1, Max = 600, Source = Practice, Meaning = "a stay in a band that is longer is an advisory",
            Get = o => o.LongestStayS, With = (o, v) => o with { LongestStayS = v },
        },
        new()
        {
            Key = "caution_stay_s", Unit = "s", Min = 0.1, Max = 3600, Source = Practice, Meaning = "a stay in a band that is longer is a caution",
            Get = o => o.CautionStayS, With = (o, v) => o with { CautionStayS = v },
        },
        new()
        {
            Key = "leave_hold_s", Unit = "s", Min = 0, Max = 10, Source = Practice, Meaning = "leaving a band for less does not end a stay",
            Get = o => o.LeaveHoldS, With = (o, v) => o with { LeaveHoldS = v },
        },
        new()
        {
            Key = "longest_gap_s", Unit = "s", Min = 0.1, Max = 10, Source = Practice, Meaning = "a gap in engine speed that is longer ends a stay",
            Get = o => o.LongestGapS, With = (o, v) => o with { LongestGapS = v },
        },
    ];

    private const string Practice = "common practice, no source";

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<SpeedBandOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(LongestStayS < CautionStayS))
        {
            yield return FormattableString.Invariant(
                $"limits.{Section}.longest_stay_s = {LongestStayS} must be below limits.{Section}.caution_stay_s = {CautionStayS}");
        }
    }
}
