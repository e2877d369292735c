using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;

namespace OilWatch.Analysis;

/// <summary>The first of two looks at a run: keeps the frames and learns the circuit, the channels' habits and healthy pressure.</summary>
/// <remarks>A worker does it, while the caller reads on.</remarks>
internal sealed class FirstLook : IFrameSink, IDisposable
{
    private readonly AnalysisOptions _options;
    private readonly FrameStore _store;
    private readonly FrameRelay _relay;
    private readonly bool _hasCrankcase;
    private readonly CrankcaseZero _zero;
    private readonly PressureSamples _samples;
    private readonly CrankcaseSamples _crankcase = new();
    private CrankcaseLag _lag;
    private LoadFilter _load;

    public FirstLook(AnalysisOptions options, Func<double, double> viscosityRatio, CircuitSurvey survey, FrameStore store, ChannelPlan plan)
    {
        _options = options;
        _store = store;
        _hasCrankcase = plan.Has(Role.CrankcasePressure);
        _zero = new CrankcaseZero(plan.IsAbsolute(Role.CrankcasePressure));
        _samples = new PressureSamples(options.PressureModel, viscosityRatio);
        Guard = new SensorGuard(options.SensorGuard, plan.IsAbsolute(Role.CrankcasePressure));
        Survey = survey;
        _relay = new FrameRelay(Learn);
    }

    /// <summary>What it learned of the channels.</summary>
    public SensorGuard Guard { get; }

    /// <summary>Where the time stamps ran backwards.</summary>
    public ClockWatch Clock { get; } = new();

    /// <summary>Where oil pressure turned out to read wrong by a constant; known once the look is finished.</summary>
    public IReadOnlyList<KnownLeap> Leaps { get; private set; } = [];

    /// <summary>What it learned of the circuit.</summary>
    public CircuitSurvey Survey { get; }

    public void OnFrame(in EngineFrame frame)
    {
        _relay.Next = frame;
        _relay.Send();
    }

    public void OnStampBehind(LogTime at, double seconds, Role pace) => Clock.Add(at, seconds, pace);

    /// <summary>What is healthy for the crankcase, as the whole run shows it.</summary>
    public ExpectedCrankcase Crankcase()
    {
        _crankcase.Shift(-_zero.Kpa);
        return new ExpectedCrankcase(_options.Crankcase, _zero, CrankcaseFit.Fit(_crankcase.All, _crankcase.RunningS, _options.Crankcase), learn: false);
    }

    /// <summary>The run is over: the healthy model, or null when there was too little to learn from.</summary>
    public HealthyPressure? Finish()
    {
        _relay.Complete();
        Survey.Finish();
        if (PressureFit.Fit(_samples.All, _samples.CalmS, _options.PressureModel, wholeRun: true) is not { } model) return null;
        Leaps = LeapStretches.In(_samples.All, model, _options.SensorGuard.LeastLeapKpa);
        if (Leaps.Count == 0) return model;
        PressureSample[] kept = LeapStretches.Without(_samples.All, Leaps);
        return PressureFit.Fit(kept, _samples.CalmS * kept.Length / _samples.All.Length, _options.PressureModel, wholeRun: true) ?? model;
    }

    public void Dispose() => _relay.Dispose();

    private void Learn(ref EngineFrame frame, ReadOnlySpan<SensorFault> faults)
    {
        _store.OnFrame(in frame);
        Guard.Apply(ref frame);
        _load.Apply(ref frame);
        _samples.Take(in frame);
        Survey.Step(in frame);
        if (!_hasCrankcase) return;
        _lag.Step(in frame);
        _zero.Step(in frame, in _lag);
        if (_lag.IsRunning && CrankcaseLag.TeachesFrom(in frame)) _crankcase.Take(frame.At, _lag.Sample(in frame));
    }
}
