using System.Collections.Immutable;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;
using OilWatch.Vibration;

namespace OilWatch.Cars;

/// <summary>Every options record whose thresholds the car file may change: one line each.</summary>
internal static class LimitSections
{
    /// <summary>The sections in the order in which they are listed for people.</summary>
    public static ImmutableArray<LimitSection> All { get; } =
    [
        LimitSection.Of(PressureDropOptions.Section, PressureDropOptions.Limits, all => all.PressureDrop, (all, part) => all with { PressureDrop = part }, part => part.Problems()),
        LimitSection.Of(PressureModelOptions.Section, PressureModelOptions.Limits, all => all.PressureModel, (all, part) => all with { PressureModel = part }, part => part.Problems()),
        LimitSection.Of(CrankcaseOptions.Section, CrankcaseOptions.Limits, all => all.Crankcase, (all, part) => all with { Crankcase = part }, part => part.Problems()),
        LimitSection.Of(OverSpeedOptions.Section, OverSpeedOptions.Limits, all => all.OverSpeed, (all, part) => all with { OverSpeed = part }, part => part.Problems()),
        LimitSection.Of(OilTemperatureOptions.Section, OilTemperatureOptions.Limits, all => all.OilTemperature, (all, part) => all with { OilTemperature = part }, part => part.Problems()),
        LimitSection.Of(SensorGuardOptions.Section, SensorGuardOptions.Limits, all => all.SensorGuard, (all, part) => all with { SensorGuard = part }, part => part.Problems()),
        LimitSection.Of(AlignOptions.Section, AlignOptions.Limits, all => all.Align, (all, part) => all with { Align = part }, part => part.Problems()),
        LimitSection.Of(LapOptions.Section, LapOptions.Limits, all => all.Laps, (all, part) => all with { Laps = part }, part => part.Problems()),
        LimitSection.Of(LoadOptions.Section, LoadOptions.Limits, all => all.Corners, (all, part) => all with { Corners = part }, part => part.Problems()),
        LimitSection.Of(VibrationOptions.Section, VibrationOptions.Limits, all => all.Vibration, (all, part) => all with { Vibration = part }, part => part.Problems()),
        LimitSection.Of(SpeedBandOptions.Section, SpeedBandOptions.Limits, all => all.SpeedBands, (all, part) => all with { SpeedBands = part }, part => part.Problems()),
    ];
}
