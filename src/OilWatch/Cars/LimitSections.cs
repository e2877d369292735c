using System.Collections.Immutable;
using OilWatch.Detectors;

namespace OilWatch.Cars;

/// <summary>Every options record whose thresholds the car file may change: one line each.</summary>
internal static class LimitSections
{
    /// <summary>The sections in the order in which they are listed for people.</summary>
    public static ImmutableArray<LimitSection> All { get; } =
    [
        LimitSection.Of(PressureDropOptions.Section, PressureDropOptions.Limits, all => all.PressureDrop, (all, part) => all with { PressureDrop = part }, part => part.Problems()),
    ];
}
