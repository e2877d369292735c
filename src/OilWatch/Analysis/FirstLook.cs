using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;

namespace OilWatch.Analysis;

/// <summary>The first of two looks at a run: keeps the frames and learns the circuit, the channels' habits and healthy pressure.</summary>
internal sealed class FirstLook(AnalysisOptions options, Func<double, double> viscosityRatio, CircuitSurvey survey, FrameStore store) : IFrameSink
{
    private readonly PressureSamples _samples = new(options.PressureModel, viscosityRatio);
    private readonly CrankcaseSamples _crankcase = new();
    private CrankcaseLag _lag;
    private LoadFilter _load;

    /// <summary>What it learned of the channels.</summary>
    public SensorGuard Guard { get; } = new(options.SensorGuard);

    /// <summary>What it learned of the circuit.</summary>
    public CircuitSurvey Survey => survey;

    public void OnFrame(in EngineFrame frame)
    {
        store.OnFrame(in frame);
        EngineFrame filled = frame;
        Guard.Apply(ref filled);
        _load.Apply(ref filled);
        _samples.Take(in filled);
        survey.Step(in filled);
        _lag.Step(in filled);
        if (_lag.IsRunning && CrankcaseLag.TeachesFrom(in filled)) _crankcase.Take(filled.At, _lag.Sample(in filled));
    }

    public void OnStampBehind(LogTime at, double seconds, Role pace) => Guard.OnStampBehind(at, seconds, pace);

    /// <summary>The healthy crankcase as the whole run shows it, or null when there was too little to learn from.</summary>
    public HealthyCrankcase? Crankcase() => CrankcaseFit.Fit(_crankcase.All, _crankcase.RunningS, options.Crankcase);

    /// <summary>The run is over: the healthy model, or null when there was too little to learn from.</summary>
    public HealthyPressure? Finish()
    {
        survey.Finish();
        return PressureFit.Fit(_samples.All, _samples.CalmS, options.PressureModel, wholeRun: true);
    }
}
