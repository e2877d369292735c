using System.Collections.Immutable;
using System.Diagnostics.Metrics;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Live.Life;
using OilWatch.Live.Recording;

namespace OilWatch.Live.Listening;

/// <summary>Numbers about a watch for whoever measures programs, through the meter <c>OilWatch</c>. The list is in <c>docs/hosting.md</c>.</summary>
/// <remarks>
/// Counting costs a store a frame and allocates nothing; everything else is looked at when somebody collects. What is not known is not measured, and nothing of the engine is once it has not been judged
/// for 5 s: a gauge never goes on showing the last good value.
/// </remarks>
public sealed class LiveMetrics : ILiveListener, IDisposable
{
    /// <summary>The name of the meter.</summary>
    public const string MeterName = "OilWatch";

    private static readonly TimeSpan SilentAfter = TimeSpan.FromSeconds(5);
    private static readonly ImmutableArray<Severity> Severities = [Severity.Advisory, Severity.Caution, Severity.Warning];
    private static readonly ImmutableArray<EngineState> States = [.. Enum.GetValues<EngineState>()];

    private readonly TimeProvider _time;
    private readonly Counter<long> _raised;
    private readonly Counter<long> _escalated;
    private readonly Histogram<double> _delay;
    private readonly Histogram<double> _lapLength;
    private EngineHealth? _health;
    private long _healthAt;
    private LiveDesk? _desk;

    /// <summary>Makes the instruments.</summary>
    /// <param name="factory">Makes the meter; null to make one that belongs to nobody.</param>
    /// <param name="car">Tells the cars of one process apart, as a tag of the meter; null for none.</param>
    /// <param name="time">Tells when the engine was judged last; the system's clock when null.</param>
    public LiveMetrics(IMeterFactory? factory = null, string? car = null, TimeProvider? time = null)
    {
        _time = time ?? TimeProvider.System;
        var options = new MeterOptions(MeterName) { Tags = car is null ? null : [new("car", car)], Scope = factory is null ? this : null };
        Meter = factory?.Create(options) ?? new Meter(options);
        _raised = Meter.CreateCounter<long>("oilwatch.alerts.raised", "{alert}", "Alerts raised, by kind and by the severity they were raised with");
        _escalated = Meter.CreateCounter<long>("oilwatch.alerts.escalated", "{alert}", "Alerts that became more severe, by kind and by the severity they came to");
        _delay = Meter.CreateHistogram<double>("oilwatch.alert.delay", "s", "Log time from the start of what an alert is about to its being raised",
            advice: new InstrumentAdvice<double> { HistogramBucketBoundaries = [0.05, 0.1, 0.2, 0.3, 0.5, 1, 2, 5, 10] });
        _lapLength = Meter.CreateHistogram<double>("oilwatch.lap.duration", "s", "Length of the laps that are over",
            advice: new InstrumentAdvice<double> { HistogramBucketBoundaries = [30, 60, 75, 90, 105, 120, 150, 180, 240, 600] });
        Meter.CreateObservableCounter("oilwatch.frames.judged", () => Counts.Frames, "{frame}", "Frames that were judged");
        Meter.CreateObservableCounter("oilwatch.readings", () => Counts.Readings, "{reading}", "Readings of channels that have a role");
        Meter.CreateObservableCounter("oilwatch.source.received", () => Counts.SourceBytes, "By", "Bytes that came from the source");
        Meter.CreateObservableCounter("oilwatch.source.dropped", () => Counts.DroppedBytes, "By", "Bytes that went before they were judged");
        Meter.CreateObservableCounter("oilwatch.source.breaks", () => Counts.Breaks, "{break}", "How often the connection to the source broke");
        Meter.CreateObservableGauge("oilwatch.alerts.standing", Standing, "{alert}", "Alerts that stand, over or not, until somebody has acknowledged them");
        Meter.CreateObservableGauge("oilwatch.engine.state", State, "1", "1 for the state that the engine is in, 0 for the others");
        Gauge("oilwatch.oil.pressure", "kPa", "Oil pressure, gauge", health => health.OilPressureKpa);
        Gauge("oilwatch.oil.pressure.expected", "kPa", "What a healthy oil system shows now, gauge", health => health.ExpectedKpa);
        Gauge("oilwatch.oil.pressure.ratio", "1", "The lowest ratio of oil pressure to expected within the last second", health => health.MinRatio);
        Gauge("oilwatch.oil.temperature", "Cel", "Oil temperature", health => health.OilTemperatureC);
        Gauge("oilwatch.engine.speed", "{revolution}/min", "Engine speed", health => health.SpeedRpm);
    }

    /// <summary>The meter, for instruments of others.</summary>
    public Meter Meter { get; }

    /// <summary>To be given to the watch as <see cref="LiveRequest.Counts"/>.</summary>
    public LiveCounts Counts { get; } = new();

    /// <inheritdoc/>
    public string Name => "metrics";

    /// <summary>Measures also what stands, and the state the moment it is asked for.</summary>
    public void Follow(LiveDesk desk) => Volatile.Write(ref _desk, desk);

    /// <summary>Measures a recording too.</summary>
    public void Follow(Recorder recorder)
    {
        ArgumentNullException.ThrowIfNull(recorder);
        Meter.CreateObservableCounter("oilwatch.recording.written", () => recorder.WrittenBytes, "By", "Bytes of the recording that are on the disk");
        Meter.CreateObservableCounter("oilwatch.recording.left_out", () => recorder.LeftOutBytes, "By", "Bytes that are in no recording: the disk was full, failing or too slow");
        Meter.CreateObservableGauge("oilwatch.recording.failing", () => recorder.IsFailing ? 1 : 0, "1", "1 while nothing can be recorded");
    }

    /// <inheritdoc/>
    public void OnChange(AlertChange change)
    {
        ArgumentNullException.ThrowIfNull(change);
        if (change.Phase == AlertPhase.Ended) return;
        (change.Phase == AlertPhase.Raised ? _raised : _escalated).Add(1, new("kind", change.Alert.Kind.Word()), new("severity", change.Alert.Severity.Word()));
        if (change.Phase == AlertPhase.Raised) _delay.Record(Math.Max(0, change.Alert.Raised.SecondsSince(change.Alert.Start)), new KeyValuePair<string, object?>("kind", change.Alert.Kind.Word()));
    }

    /// <inheritdoc/>
    public void OnLap(LapSummary lap)
    {
        ArgumentNullException.ThrowIfNull(lap);
        _lapLength.Record(lap.End.SecondsSince(lap.Start));
    }

    /// <inheritdoc/>
    public void OnHealth(EngineHealth health)
    {
        Volatile.Write(ref _healthAt, _time.GetTimestamp());
        Volatile.Write(ref _health, health);
    }

    /// <summary>Takes the instruments away.</summary>
    public void Dispose() => Meter.Dispose();

    private EngineHealth? Fresh() => Volatile.Read(ref _health) is { } health && _time.GetElapsedTime(Volatile.Read(ref _healthAt)) < SilentAfter ? health : null;

    private void Gauge(string name, string unit, string description, Func<EngineHealth, double?> value) =>
        Meter.CreateObservableGauge(name, () => Fresh() is { } health && value(health) is { } known ? [new Measurement<double>(known)] : (IEnumerable<Measurement<double>>)[], unit, description);

    private IEnumerable<Measurement<int>> Standing()
    {
        if (Volatile.Read(ref _desk) is not { } desk) return [];
        ImmutableArray<StandingAlert> standing = desk.Alerts.Standing;
        return [.. Severities.Select(severity => new Measurement<int>(standing.Count(alert => alert.Alert.Severity == severity), new KeyValuePair<string, object?>("severity", severity.Word())))];
    }

    private IEnumerable<Measurement<int>> State()
    {
        EngineState? known = Volatile.Read(ref _desk)?.State ?? Volatile.Read(ref _health)?.State;
        if (known is not { } now) return [];
        if (Volatile.Read(ref _health) is not null && Fresh() is null && now != EngineState.Stop) now = EngineState.Unknown;
        return [.. States.Select(state => new Measurement<int>(state == now ? 1 : 0, new KeyValuePair<string, object?>("state", Word(state))))];
    }

    private static string Word(EngineState state) => state switch
    {
        EngineState.Waiting => "waiting",
        EngineState.Clear => "clear",
        EngineState.Watch => "watch",
        EngineState.Stop => "stop",
        _ => "unknown",
    };
}
