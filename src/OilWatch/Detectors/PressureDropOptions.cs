using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Detectors;

/// <summary>When a fall of oil pressure is called, how severe it is, and when it is over.</summary>
public sealed record PressureDropOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "pressure_drop";

    /// <summary>The defaults.</summary>
    public static PressureDropOptions Default { get; } = new();

    /// <summary>At or below this ratio of expected pressure a drop can be at least advisory. Range 0.5 to 0.98. Default 0.90.</summary>
    public double AdvisoryRatio { get; init; } = 0.90;

    /// <summary>At or below this ratio for <see cref="CautionHoldS"/> a drop is at least a caution. Range 0.3 to 0.95. Default 0.75.</summary>
    public double CautionRatio { get; init; } = 0.75;

    /// <summary>How long <see cref="CautionRatio"/> must hold, s. Range 0 to 5. Default 0.15.</summary>
    public double CautionHoldS { get; init; } = 0.15;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<PressureDropOptions>> Limits { get; } =
    [
        new()
        {
            Key = "advisory_ratio", Unit = "of expected", Min = 0.5, Max = 0.98,
            Meaning = "pressure at or below this ratio of healthy can be an advisory",
            Source = "common practice, no source",
            Get = o => o.AdvisoryRatio, With = (o, v) => o with { AdvisoryRatio = v },
        },
        new()
        {
            Key = "caution_ratio", Unit = "of expected", Min = 0.3, Max = 0.95,
            Meaning = "pressure at or below this ratio of healthy for the hold is at least a caution",
            Source = "common practice, no source",
            Get = o => o.CautionRatio, With = (o, v) => o with { CautionRatio = v },
        },
        new()
        {
            Key = "caution_hold_s", Unit = "s", Min = 0, Max = 5,
            Meaning = "how long the caution ratio must hold",
            Source = "common practice, no source",
            Get = o => o.CautionHoldS, With = (o, v) => o with { CautionHoldS = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() =>
        Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>();
}
