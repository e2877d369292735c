using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;
using OilWatch.Vibration;

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

    /// <summary>How healthy pressure is learned.</summary>
    public PressureModelOptions PressureModel { get; init; } = PressureModelOptions.Default;

    /// <summary>Thresholds of the crankcase detector.</summary>
    public CrankcaseOptions Crankcase { get; init; } = CrankcaseOptions.Default;

    /// <summary>When an engine speed is called too high.</summary>
    public OverSpeedOptions OverSpeed { get; init; } = OverSpeedOptions.Default;

    /// <summary>When oil is called too hot, or too cold for the engine speed.</summary>
    public OilTemperatureOptions OilTemperature { get; init; } = OilTemperatureOptions.Default;

    /// <summary>When a reading is not believed.</summary>
    public SensorGuardOptions SensorGuard { get; init; } = SensorGuardOptions.Default;

    /// <summary>How channels of different rates become frames.</summary>
    public AlignOptions Align { get; init; } = AlignOptions.Default;

    /// <summary>How laps are counted.</summary>
    public LapOptions Laps { get; init; } = LapOptions.Default;

    /// <summary>From which load on a stretch is a corner.</summary>
    public LoadOptions Corners { get; init; } = LoadOptions.Default;

    /// <summary>When vibration has risen.</summary>
    public VibrationOptions Vibration { get; init; } = VibrationOptions.Default;

    /// <summary>How long engine speed may stay in a band to keep out of.</summary>
    public SpeedBandOptions SpeedBands { get; init; } = SpeedBandOptions.Default;

    /// <summary>What to look at because of what is found.</summary>
    public InspectionAdvice Advice { get; init; } = InspectionAdvice.BuiltIn;

    /// <summary>Every problem of every threshold at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() => LimitSections.All.SelectMany(section => section.Problems(this));
}
