using OilWatch.Cars;
using OilWatch.Detectors;

namespace OilWatch;

/// <summary>Everything the analysis can be told: the car and every threshold.</summary>
public sealed record AnalysisOptions
{
    /// <summary>The defaults, without a car file.</summary>
    public static AnalysisOptions Default { get; } = new();

    /// <summary>What the car file says.</summary>
    public CarSettings Car { get; init; } = CarSettings.None;

    /// <summary>Thresholds of the pressure-drop detector.</summary>
    public PressureDropOptions PressureDrop { get; init; } = PressureDropOptions.Default;

    /// <summary>Every problem of every threshold at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() => LimitSections.All.SelectMany(section => section.Problems(this));
}
