using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;
using OilWatch.Results;
using OilWatch.Results.Traces;

namespace OilWatch.Analysis;

/// <summary>The look that finds the alerts: causal, frame by frame, the same live as after the run.</summary>
internal sealed class Judge : IFrameSink, IDisposable
{
    private readonly FramePass _pass;
    private readonly ExpectedPressure _expected;
    private readonly IDisposable _subscription;
    private readonly List<AlertChange> _ended = [];
    private readonly TraceKeeper _traces = new();
    private readonly RunMedian _thickness = new(0.2, 30);
    private LogTime _last;
    private bool _begun;

    public Judge(AnalysisOptions options, ChannelPlan plan, LapStage laps, ExpectedPressure expected, SensorGuard guard)
    {
        Laps = laps;
        _expected = expected;
        _pass = new FramePass(guard, Fill);
        bool loadKnown = plan.Has(Role.LateralG) || plan.Has(Role.LongitudinalG);
        Changes = _pass.Frames.FindAlerts(_pass.Faults, options, PlaceOf, loadKnown);
        _subscription = Changes.Subscribe(
            change =>
            {
                _traces.Note(change);
                if (change.Phase == AlertPhase.Ended) _ended.Add(change);
            },
            error => throw new InvalidOperationException("the detectors failed", error));
    }

    /// <summary>Alerts as they are raised, escalated and ended.</summary>
    public IObservable<AlertChange> Changes { get; }

    /// <summary>Laps and corners.</summary>
    public LapStage Laps { get; }

    /// <summary>How good the channels were.</summary>
    public QualityTally Quality { get; } = new();

    /// <summary>The guard in use.</summary>
    public SensorGuard Guard => _pass.Guard;

    /// <summary>Seconds for which oil pressure could be judged.</summary>
    public double JudgedS { get; private set; }

    public void OnFrame(in EngineFrame frame) => _pass.OnFrame(in frame);

    /// <summary>The log is over.</summary>
    public void Complete()
    {
        Laps.Finish();
        _pass.Complete();
    }

    /// <summary>All alerts, final, in order of start; equal starts in order of raising.</summary>
    public ImmutableArray<Alert> Alerts() =>
        [.. _ended.OrderBy(change => change.Alert.Start).ThenBy(change => change.Id).Select(change => change.Alert)];

    /// <summary>Against what was judged, with the healthy curve at the run's usual oil temperature.</summary>
    public BaselineSummary Baseline()
    {
        BaselineSummary summary = _expected.Summary;
        return summary with { Curve = _expected.Curve(_thickness.Value) };
    }

    /// <summary>The numbers kept for comparing sessions.</summary>
    public ImmutableArray<HealthIndex> Indices() => _expected.Indices();

    /// <summary>What pictures are drawn from, once the log is over.</summary>
    public SessionTraces Traces() => _traces.Finish();

    public void Dispose()
    {
        _subscription.Dispose();
        _pass.Dispose();
    }

    private void Fill(ref EngineFrame frame)
    {
        _expected.Apply(ref frame);
        Laps.Step(ref frame);
        Quality.Step(in frame);
        _traces.Step(in frame);
        if (frame.CanJudgePressure)
        {
            if (_begun) JudgedS += Math.Min(frame.At.SecondsSince(_last), 1);
            if (_expected.Thickness > 0) _thickness.Add(_expected.Thickness);
        }
        _last = frame.At;
        _begun = true;
    }

    private Place PlaceOf(LogTime at, LoadDirection direction) => new(Laps.LapAt(at), Laps.Labels.LabelFor(at, direction));
}
