using System.Collections.Immutable;
using OilWatch.Cars;
using static OilWatch.Cars.LimitOf<OilWatch.Detectors.OilTemperatureOptions>;

namespace OilWatch.Detectors;

/// <summary>When oil is called too hot, or too cold for the engine speed.</summary>
public sealed record OilTemperatureOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "oil_temperature";

    private const string Practice = "common practice, no source";

    /// <summary>The defaults.</summary>
    public static OilTemperatureOptions Default { get; } = new();

    /// <summary>Oil hotter than this is a caution, °C. Range 80 to 200. Default 135.</summary>
    public double CautionC { get; init; } = 135;

    /// <summary>Oil hotter than this is a warning, °C. Range 90 to 220. Default 150.</summary>
    public double WarningC { get; init; } = 150;

    /// <summary>How long oil must be too hot, s. Range 0 to 60. Default 3.</summary>
    public double HoldS { get; init; } = 3;

    /// <summary>Oil is no longer too hot when it is this much cooler again, °C. Range 0 to 30. Default 3.</summary>
    public double ClearC { get; init; } = 3;

    /// <summary>Oil colder than this is too cold for high engine speed, °C. Range -20 to 100. Default 60.</summary>
    public double ColdC { get; init; } = 60;

    /// <summary>Above this engine speed cold oil is called, rpm. Range 1500 to 15000. Default 4500.</summary>
    public double ColdRpm { get; init; } = 4500;

    /// <summary>How long engine speed must be that high, s. Range 0 to 60. Default 2.</summary>
    public double ColdHoldS { get; init; } = 2;

    /// <summary>Oil colder than this at high engine speed is a caution, °C. Range -40 to 80. Default 40.</summary>
    public double VeryColdC { get; init; } = 40;

    /// <summary>High engine speed with cold oil is one event while its stretches are closer than this, s. Range 0 to 600. Default 20.</summary>
    public double ColdClearHoldS { get; init; } = 20;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<OilTemperatureOptions>> Limits { get; } =
    [
        Of("caution_c", "°C", 80, 200, "oil hotter than this is a caution", Practice, o => o.CautionC, (o, v) => o with { CautionC = v }),
        Of("warning_c", "°C", 90, 220, "oil hotter than this is a warning", Practice, o => o.WarningC, (o, v) => o with { WarningC = v }),
        Of("hold_s", "s", 0, 60, "how long oil must be too hot", Practice, o => o.HoldS, (o, v) => o with { HoldS = v }),
        Of("clear_c", "°C", 0, 30, "oil is no longer too hot when it is this much cooler again", Practice, o => o.ClearC, (o, v) => o with { ClearC = v }),
        Of("cold_c", "°C", -20, 100, "oil colder than this is too cold for high engine speed", Practice, o => o.ColdC, (o, v) => o with { ColdC = v }),
        Of("cold_rpm", "rpm", 1500, 15_000, "above this engine speed cold oil is called", Practice, o => o.ColdRpm, (o, v) => o with { ColdRpm = v }),
        Of("cold_hold_s", "s", 0, 60, "how long engine speed must be that high", Practice, o => o.ColdHoldS, (o, v) => o with { ColdHoldS = v }),
        Of("very_cold_c", "°C", -40, 80, "oil colder than this at high engine speed is a caution", Practice, o => o.VeryColdC, (o, v) => o with { VeryColdC = v }),
        Of("cold_clear_hold_s", "s", 0, 600, "high engine speed with cold oil is one event while its stretches are closer than this", Practice,
            o => o.ColdClearHoldS, (o, v) => o with { ColdClearHoldS = v }),
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (LimitOf<OilTemperatureOptions> limit in Limits)
            if (limit.ProblemIn(Section, this) is { } problem) yield return problem;
        if (!(CautionC < WarningC)) yield return Order("caution_c", CautionC, "warning_c", WarningC);
        if (!(VeryColdC < ColdC)) yield return Order("very_cold_c", VeryColdC, "cold_c", ColdC);
        if (!(ColdC < CautionC)) yield return Order("cold_c", ColdC, "caution_c", CautionC);
    }

    private static string Order(string lower, double low, string upper, double high) =>
        FormattableString.Invariant($"limits.{Section}.{lower} = {low} must be below limits.{Section}.{upper} = {high}");
}
