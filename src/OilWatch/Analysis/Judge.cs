using System.Collections.Immutable;
using System.Reactive.Linq;
using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Pressure;
using OilWatch.Results;
using OilWatch.Results.Traces;
using OilWatch.Vibration;

namespace OilWatch.Analysis;

/// <summary>The look that finds the alerts: causal, frame by frame, the same live as after the run.</summary>
internal sealed class Judge : IFrameSink, IDisposable
{
    private const double MovingKmh = 30;
    private const double MovingG = 0.4;                  // no car at rest leans so
    private readonly FramePass _pass;
    private readonly ExpectedPressure _expected;
    private readonly ExpectedCrankcase _crankcase;
    private readonly IDisposable _subscription;
    private readonly IDisposable _connection;
    private readonly CauseWatch _causes;
    private readonly List<AlertChange> _ended = [];
    private readonly Dictionary<int, Alert> _open = [];
    private readonly BrakingTracker _braking = new();
    private readonly TraceKeeper _traces = new();
    private readonly WaveStage? _waveform;
    private readonly Subject<VibrationChange> _waveChanges = new();
    private readonly BandDwell? _dwell;
    private readonly PressureMap _map;
    private readonly RunMedian _thickness = new(0.2, 30);
    private readonly bool _hasCrankcase;
    private readonly bool _asLive;
    private LogTime _last;
    private bool _begun;

    /// <param name="options">Thresholds.</param>
    /// <param name="plan">The channels.</param>
    /// <param name="laps">Fills in laps and corners.</param>
    /// <param name="expected">Fills in healthy pressure.</param>
    /// <param name="crankcase">Fills in healthy crankcase pressure.</param>
    /// <param name="guard">Masks what is not to be believed.</param>
    /// <param name="asLive">True where this is the only look.</param>
    /// <param name="heard">True where somebody hears the alerts while the run goes on.</param>
    /// <param name="waveform">A waveform beside the log, or null.</param>
    public Judge(AnalysisOptions options, ChannelPlan plan, LapStage laps, ExpectedPressure expected, ExpectedCrankcase crankcase, SensorGuard guard, bool asLive, bool heard, WaveStage? waveform = null)
    {
        Laps = laps;
        _expected = expected;
        _crankcase = crankcase;
        _waveform = waveform;
        if (options.Car.Bands.Any(band => band.Kind == BandKind.EngineSpeed)) _dwell = new BandDwell(options.Car.Bands, options.SpeedBands);
        _pass = new FramePass(guard, Expect, Fill, inTwoThreads: !asLive);
        _asLive = asLive;
        _hasCrankcase = plan.Has(Role.CrankcasePressure);
        bool loadKnown = plan.Has(Role.LateralG) || plan.Has(Role.LongitudinalG);
        _causes = new CauseWatch(options, loadKnown, asItRuns: asLive || heard);
        _map = new PressureMap(options.PressureModel);
        // One way through the detectors however many listen: what is read of a cause depends on every alert before it.
        IConnectableObservable<AlertChange> changes = _pass.Frames.FindAlertsIn(_pass.Faults, options, PlaceOf, loadKnown, plan.Has, waveform is null ? null : _waveChanges).Select(_causes.Take).Publish();
        Changes = changes;
        _subscription = changes.Subscribe(
            change =>
            {
                _traces.Note(change);
                if (change.Phase == AlertPhase.Ended)
                {
                    _ended.Add(change);
                    _open.Remove(change.Id);
                }
                else _open[change.Id] = change.Alert;
            },
            error => throw new InvalidOperationException("the detectors failed", error));
        _connection = changes.Connect();
    }

    /// <summary>Alerts as they are raised, escalated and ended.</summary>
    public IObservable<AlertChange> Changes { get; }

    /// <summary>Frames, once the detectors have seen them.</summary>
    public IObservable<EngineFrame> Frames => _pass.Frames;

    /// <summary>Told of each lap when it is over; null when nobody asks.</summary>
    public Action<LapSummary>? LapEnded { get; set; }

    /// <summary>Laps and corners.</summary>
    public LapStage Laps { get; }

    /// <summary>How good the channels were.</summary>
    public QualityTally Quality { get; } = new();

    /// <summary>The guard in use.</summary>
    public SensorGuard Guard => _pass.Guard;

    /// <summary>Seconds for which oil pressure could be judged.</summary>
    public double JudgedS { get; private set; }

    /// <summary>Seconds for which oil pressure was read while the car moved, with no engine speed to judge it by.</summary>
    public double BlindS { get; private set; }

    public void OnFrame(in EngineFrame frame) => _pass.OnFrame(in frame);

    public void OnStampBehind(LogTime at, double seconds, Role pace) => Guard.OnStampBehind(at, seconds, pace);

    /// <summary>The log is over.</summary>
    public void Complete()
    {
        _pass.Drain();
        Laps.Finish();
        _waveform?.Finish();
        GiveWaveChanges();
        _waveChanges.OnCompleted();
        _pass.Complete();
        if (_asLive) return;
        for (int i = 0; i < _ended.Count; i++) _ended[i] = _ended[i] with { Alert = _causes.Turn(_ended[i].Alert, PlaceOf) };
    }

    /// <summary>All alerts, final, in order of start; equal starts in order of raising.</summary>
    /// <param name="run">What the whole run reads as, to explain each alert by; null to leave each with what was known when it ended.</param>
    public ImmutableArray<Alert> Alerts(CauseReading? run) =>
        [.. _ended.OrderBy(change => change.Alert.Start).ThenBy(change => change.Id).Select(change => run is null ? change.Alert : _causes.Refine(change, run))];

    /// <summary>Why oil pressure was lost.</summary>
    /// <param name="logName">What this run is called.</param>
    /// <param name="reference">What the engine showed before, or null.</param>
    public CauseReading Cause(string logName, HealthyReference? reference) =>
        _causes.Read(HealthyReference.From(logName, Baseline() with { Curve = _expected.Curve(1) }), reference, _map, _asLive, Guard.Contact);

    /// <summary>Stretches of sustained braking, joined with the alerts.</summary>
    public ImmutableArray<BrakingZone> BrakingZones(ImmutableArray<Alert> alerts) => _braking.Join(alerts, PlaceOf);

    /// <summary>Against what was judged, with the healthy curve at the run's usual oil temperature.</summary>
    public BaselineSummary Baseline()
    {
        BaselineSummary summary = _expected.Summary;
        return summary with
        {
            Curve = _expected.Curve(_thickness.Value),
            Map = _map,
        };
    }

    /// <summary>The numbers kept for comparing sessions.</summary>
    public ImmutableArray<HealthIndex> Indices() => [.. _expected.Indices(), .. _crankcase.Indices()];

    /// <summary>A plan with what the run itself showed of ambient pressure.</summary>
    public ChannelPlan AsUsed(ChannelPlan plan) => _crankcase.ZeroNote is not { } note
        ? plan
        : new ChannelPlan(
            [.. plan.Choices.Select(choice => choice.Role == Role.CrankcasePressure ? choice with { Offset = choice.Offset - _crankcase.ZeroKpa } : choice)],
            plan.Notes.Add($"{Role.CrankcasePressure.Key()}: {note}"));

    /// <summary>What pictures are drawn from, once the log is over.</summary>
    public SessionTraces Traces() => _traces.Finish() with { VibrationMap = _waveform?.Map() };

    /// <summary>How long engine speed was in each of the car file's bands; empty where it has none.</summary>
    public ImmutableArray<BandTotal> SpeedBands() => _dwell?.Totals ?? [];

    public void Dispose()
    {
        _pass.Dispose();
        _subscription.Dispose();
        _connection.Dispose();
        _waveChanges.Dispose();
    }

    private void Expect(ref EngineFrame frame)
    {
        _expected.Apply(ref frame);
        if (_hasCrankcase) _crankcase.Apply(ref frame);
        _map.Take(in frame, _expected.SpeedRpm, _expected.Thickness);
        if (frame.CanJudgePressure)
        {
            if (_begun) JudgedS += Math.Min(frame.At.SecondsSince(_last), 1);
            if (_expected.Thickness > 0) _thickness.Add(_expected.Thickness);
        }
        else if (_begun && double.IsFinite(frame.PressureKpa) && !double.IsFinite(frame.SpeedRpm) && (frame.VehicleSpeedKmh > MovingKmh || Math.Abs(frame.LateralG) > MovingG))
        {
            BlindS += Math.Min(frame.At.SecondsSince(_last), 1);
        }
        _last = frame.At;
        _begun = true;
    }

    private void Fill(ref EngineFrame frame)
    {
        _waveform?.Step(ref frame);
        if (Laps.Step(ref frame) is { } lap && LapEnded is { } told && Laps.LatestRow(AlertsSince(lap.Start)) is { } row) told(row);
        _braking.Step(in frame);
        Quality.Step(in frame);
        _causes.Step(in frame);
        _traces.Step(in frame);
        _dwell?.Step(in frame);
        GiveWaveChanges();
    }

    private IEnumerable<Alert> AlertsSince(LogTime start) =>
        _ended.AsEnumerable().Reverse().TakeWhile(change => change.At >= start).Select(change => change.Alert).Concat(_open.Values).OrderBy(alert => alert.Start);

    private void GiveWaveChanges()
    {
        while (_waveform is not null && _waveform.TryTake(out VibrationChange change)) _waveChanges.OnNext(change);
    }

    private Place PlaceOf(LogTime at, LoadDirection direction) => new(Laps.LapAt(at), Laps.Labels.LabelFor(at, direction));
}
