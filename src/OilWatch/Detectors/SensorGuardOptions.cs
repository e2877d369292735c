using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Detectors;

/// <summary>When a reading is not believed.</summary>
public sealed record SensorGuardOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "sensor";

    /// <summary>The defaults.</summary>
    public static SensorGuardOptions Default { get; } = new();

    /// <summary>A fault shorter than this is masked but not reported, s. Range 0.05 to 10. Default 0.25.</summary>
    public double ReportAfterS { get; init; } = 0.25;

    /// <summary>Shortest time constant with which oil pressure can fall, s. Range 0.005 to 0.2. Default 0.03.</summary>
    public double FastestFallS { get; init; } = 0.03;

    /// <summary>Oil pressure at or below this after an impossible fall is a dropout, kPa. Range 0 to 100. Default 20.</summary>
    public double DeadPressureKpa { get; init; } = 20;

    /// <summary>Highest oil pressure believed, kPa. Range 300 to 5000. Default 1600.</summary>
    public double HighestPressureKpa { get; init; } = 1600;

    /// <summary>Highest engine speed believed, rpm. Range 2000 to 30000. Default 16000.</summary>
    public double HighestSpeedRpm { get; init; } = 16_000;

    /// <summary>Fastest change of engine speed believed, rpm/s. Range 5000 to 200000. Default 25000.</summary>
    public double FastestSpeedChangeRpmS { get; init; } = 25_000;

    /// <summary>Highest acceleration believed, g, as a magnitude. Range 1 to 20. Default 4.5.</summary>
    public double HighestG { get; init; } = 4.5;

    /// <summary>A value that stays the same to the last digit for longer than this while it should move is stuck, s. Range 0.2 to 60. Default 0.5.</summary>
    /// <remarks>Stretched to three times what the channel does in normal running, where its steps are coarse or its updates slow.</remarks>
    public double StuckAfterS { get; init; } = 0.5;

    /// <summary>Smallest leap of oil pressure from one reading to the next, with nothing of a lag about it, that is an offset, kPa. Range 30 to 1000. Default 100.</summary>
    public double LeastLeapKpa { get; init; } = 100;

    /// <summary>Oil pressure farther from zero than this with the engine stopped is an offset, kPa. Range 5 to 500. Default 30.</summary>
    public double OffsetPressureKpa { get; init; } = 30;

    /// <summary>Crankcase pressure farther from ambient than this with the engine stopped is an offset, kPa. Range 0.5 to 100. Default 3.</summary>
    public double OffsetCrankcaseKpa { get; init; } = 3;

    /// <summary>Acceleration farther from zero than this with the car standing is an offset, g. Range 0.02 to 2. Default 0.15 (a slope of 8.5 degrees).</summary>
    public double OffsetG { get; init; } = 0.15;

    /// <summary>How long engine or car must have stood still, with the value still too, for an offset, s. Range 1 to 60. Default 2. Where the engine ran before, what is to come to rest is waited for.</summary>
    public double OffsetAfterS { get; init; } = 2;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<SensorGuardOptions>> Limits { get; } =
    [
        new()
        {
            Key = "report_after_s", Unit = "s", Min = 0.05, Max = 10, Source = "common practice, no source",
            Meaning = "a fault shorter than this is masked but not reported",
            Get = o => o.ReportAfterS, With = (o, v) => o with { ReportAfterS = v },
        },
        new()
        {
            Key = "fastest_fall_s", Unit = "s", Min = 0.005, Max = 0.2,
            Source = "gallery and sensor lag of a tenth of a second or so, with margin; common practice, no source",
            Meaning = "shortest time constant with which oil pressure can fall",
            Get = o => o.FastestFallS, With = (o, v) => o with { FastestFallS = v },
        },
        new()
        {
            Key = "dead_pressure_kpa", Unit = "kPa", Min = 0, Max = 100, Source = "2 % of a 10 bar sensor; common practice, no source",
            Meaning = "oil pressure at or below this after an impossible fall is a dropout",
            Get = o => o.DeadPressureKpa, With = (o, v) => o with { DeadPressureKpa = v },
        },
        new()
        {
            Key = "highest_pressure_kpa", Unit = "kPa", Min = 300, Max = 5000, Source = "common practice, no source",
            Meaning = "highest oil pressure believed",
            Get = o => o.HighestPressureKpa, With = (o, v) => o with { HighestPressureKpa = v },
        },
        new()
        {
            Key = "highest_speed_rpm", Unit = "rpm", Min = 2000, Max = 30_000, Source = "common practice, no source",
            Meaning = "highest engine speed believed",
            Get = o => o.HighestSpeedRpm, With = (o, v) => o with { HighestSpeedRpm = v },
        },
        new()
        {
            Key = "fastest_speed_change_rpm_s", Unit = "rpm/s", Min = 5000, Max = 200_000, Source = "a blip of a light flywheel; common practice, no source",
            Meaning = "fastest change of engine speed believed",
            Get = o => o.FastestSpeedChangeRpmS, With = (o, v) => o with { FastestSpeedChangeRpmS = v },
        },
        new()
        {
            Key = "highest_g", Unit = "g", Min = 1, Max = 20, Source = "common practice, no source",
            Meaning = "highest acceleration believed",
            Get = o => o.HighestG, With = (o, v) => o with { HighestG = v },
        },
        new()
        {
            Key = "stuck_after_s", Unit = "s", Min = 0.2, Max = 60, Source = "common practice, no source",
            Meaning = "a value the same to the last digit for longer than this while it should move is stuck",
            Get = o => o.StuckAfterS, With = (o, v) => o with { StuckAfterS = v },
        },
        new()
        {
            Key = "least_leap_kpa", Unit = "kPa", Min = 30, Max = 1000, Source = "10 % of a 10 bar sensor; common practice, no source",
            Meaning = "a leap of oil pressure between two readings by this much, with nothing of a lag about it, is an offset",
            Get = o => o.LeastLeapKpa, With = (o, v) => o with { LeastLeapKpa = v },
        },
        new()
        {
            Key = "offset_pressure_kpa", Unit = "kPa", Min = 5, Max = 500, Source = "3 % of a 10 bar sensor; common practice, no source",
            Meaning = "oil pressure farther from zero than this with the engine stopped is an offset",
            Get = o => o.OffsetPressureKpa, With = (o, v) => o with { OffsetPressureKpa = v },
        },
        new()
        {
            Key = "offset_crankcase_kpa", Unit = "kPa", Min = 0.5, Max = 100, Source = "common practice, no source",
            Meaning = "crankcase pressure farther from ambient than this with the engine stopped is an offset",
            Get = o => o.OffsetCrankcaseKpa, With = (o, v) => o with { OffsetCrankcaseKpa = v },
        },
        new()
        {
            Key = "offset_g", Unit = "g", Min = 0.02, Max = 2, Source = "a slope of 8.5 degrees; statics",
            Meaning = "acceleration farther from zero than this with the car standing is an offset",
            Get = o => o.OffsetG, With = (o, v) => o with { OffsetG = v },
        },
        new()
        {
            Key = "offset_after_s", Unit = "s", Min = 1, Max = 60, Source = "common practice, no source",
            Meaning = "how long engine or car, and the value, must have stood still for an offset",
            Get = o => o.OffsetAfterS, With = (o, v) => o with { OffsetAfterS = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() => Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>();
}
