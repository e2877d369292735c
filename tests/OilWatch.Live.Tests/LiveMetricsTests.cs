using System.Diagnostics.Metrics;
using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Live.Sources;
using OilWatch.Results;

namespace OilWatch.Live.Tests;

public sealed class LiveMetricsTests
{
    private static readonly CanRun Run = CanRun.Of("wet-left", 16);

    [Fact]
    public async Task What_is_counted_is_what_went_through()
    {
        using var metrics = new LiveMetrics(car: "Number 27");
        using var heard = new Heard(metrics);
        var desk = new LiveDesk(AlertLifeOptions.Default, metrics);
        metrics.Follow(desk);
        var changes = new List<AlertChange>();
        long frames = 0;
        SessionResult result = await LiveWatch.RunAsync(
            new StreamSource("pipe", () => new MemoryStream(Run.Log)),
            desk.Into(new LiveRequest { Readers = Run.Readers, Counts = metrics.Counts, Changed = changes.Add, Judged = _ => frames++ }));
        Dictionary<string, double> seen = heard.Collected();
        Assert.Equal(Run.Log.Length, seen["oilwatch.source.received"]);
        Assert.Equal(0, seen["oilwatch.source.dropped"]);
        Assert.Equal(frames, seen["oilwatch.frames.judged"]);
        Assert.True(frames > 1000);
        Assert.True(seen["oilwatch.readings"] > frames);
        foreach (IGrouping<(AlertKind Kind, Severity Severity), AlertChange> group in changes.Where(change => change.Phase == AlertPhase.Raised).GroupBy(change => (change.Alert.Kind, change.Alert.Severity)))
            Assert.Equal(group.Count(), seen[$"oilwatch.alerts.raised kind={group.Key.Kind.Word()} severity={group.Key.Severity.Word()}"]);
        Assert.Equal(result.Alerts.Length, heard.Sum("oilwatch.alerts.raised"));
        Assert.Equal(changes.Count(change => change.Phase == AlertPhase.Escalated), heard.Sum("oilwatch.alerts.escalated"));
        Assert.Equal(result.Alerts.Length, heard.Times("oilwatch.alert.delay"));
        Assert.Equal(result.Laps.Length - 1, heard.Times("oilwatch.lap.duration"));
        Assert.Equal(desk.Alerts.Standing.Length, heard.Sum("oilwatch.alerts.standing"));
        Assert.Equal(1, seen["oilwatch.engine.state state=stop"]);
        Assert.Equal(1, heard.Sum("oilwatch.engine.state"));
    }

    [Fact]
    public void What_is_not_known_is_not_measured_and_an_old_value_is_not_shown_as_the_present_one()
    {
        var time = new ClockByHand();
        using var metrics = new LiveMetrics(time: time);
        using var heard = new Heard(metrics);
        Assert.DoesNotContain("oilwatch.oil.pressure", heard.Collected().Keys, StringComparer.Ordinal);
        metrics.OnHealth(new EngineHealth { At = LogTime.FromSeconds(1), State = EngineState.Clear, OilPressureKpa = 410, SpeedRpm = 6000 });
        Dictionary<string, double> seen = heard.Collected();
        Assert.Equal(410, seen["oilwatch.oil.pressure"]);
        Assert.Equal(6000, seen["oilwatch.engine.speed"]);
        Assert.DoesNotContain("oilwatch.oil.temperature", seen.Keys, StringComparer.Ordinal);
        Assert.Equal(1, seen["oilwatch.engine.state state=clear"]);
        time.Seconds = 5;
        seen = heard.Collected();
        Assert.DoesNotContain("oilwatch.oil.pressure", seen.Keys, StringComparer.Ordinal);
        Assert.Equal(1, seen["oilwatch.engine.state state=unknown"]);
        Assert.Equal(0, seen["oilwatch.engine.state state=clear"]);
    }

    [Fact]
    public void Counting_a_frame_allocates_nothing()
    {
        var counts = new LiveCounts();
        counts.AddFrame();
        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < 100_000; i++)
        {
            counts.AddRecord(3);
            counts.AddFrame();
            counts.AddSourceBytes(100);
        }
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
        Assert.Equal((100_001, 300_000, 100_000, 10_000_000), (counts.Frames, counts.Readings, counts.Records, counts.SourceBytes));
    }

    [Fact]
    public void Whatever_is_found_there_are_no_more_series_than_kinds_and_severities()
    {
        using var metrics = new LiveMetrics();
        using var heard = new Heard(metrics);
        for (int i = 0; i < 1000; i++)
        {
            metrics.OnChange(new AlertChange(AlertPhase.Raised, LogTime.FromSeconds(i), i, new Alert
            {
                Kind = (AlertKind)(i % 8),
                Severity = (Severity)(i % 3),
                Start = default,
                Raised = default,
                End = default,
                Channel = (Channels.Role)(i % 10),
                Detail = i.ToString(CultureInfo.InvariantCulture),
                Message = new string('x', i),
            }));
        }
        Assert.InRange(heard.Collected().Keys.Count(key => key.StartsWith("oilwatch.alerts.raised", StringComparison.Ordinal)), 8, 24);
    }

    /// <summary>Everything that one meter measured, by name and tags; observable ones as they stand.</summary>
    private sealed class Heard : IDisposable
    {
        private readonly MeterListener _listener = new();
        private readonly Dictionary<string, double> _values = new(StringComparer.Ordinal);
        private readonly Dictionary<string, int> _times = new(StringComparer.Ordinal);

        public Heard(LiveMetrics metrics)
        {
            _listener.InstrumentPublished = (instrument, listener) =>
            {
                if (ReferenceEquals(instrument.Meter, metrics.Meter)) listener.EnableMeasurementEvents(instrument);
            };
            _listener.SetMeasurementEventCallback<long>((instrument, value, tags, _) => Add(instrument, value, tags));
            _listener.SetMeasurementEventCallback<int>((instrument, value, tags, _) => Add(instrument, value, tags));
            _listener.SetMeasurementEventCallback<double>((instrument, value, tags, _) => Add(instrument, value, tags));
            _listener.Start();
        }

        public Dictionary<string, double> Collected()
        {
            lock (_values)
                foreach (string key in _values.Keys.Where(key => !key.Contains("alerts.raised", StringComparison.Ordinal) && !key.Contains("alerts.escalated", StringComparison.Ordinal)).ToArray()) _values.Remove(key);
            _listener.RecordObservableInstruments();
            lock (_values) return new(_values, StringComparer.Ordinal);
        }

        public double Sum(string name)
        {
            lock (_values) return _values.Where(pair => string.Equals(pair.Key.Split(' ')[0], name, StringComparison.Ordinal)).Sum(pair => pair.Value);
        }

        public int Times(string name) => _times.GetValueOrDefault(name);

        public void Dispose() => _listener.Dispose();

        private void Add(Instrument instrument, double value, ReadOnlySpan<KeyValuePair<string, object?>> tags)
        {
            string key = instrument.Name;
            foreach (KeyValuePair<string, object?> tag in tags) key += $" {tag.Key}={tag.Value}";
            lock (_values)
            {
                _values[key] = instrument.IsObservable ? value : _values.GetValueOrDefault(key) + value;
                _times[instrument.Name] = _times.GetValueOrDefault(instrument.Name) + 1;
            }
        }
    }

    private sealed class ClockByHand : TimeProvider
    {
        public long Seconds { get; set; }

        public override long TimestampFrequency => 1;

        public override long GetTimestamp() => Seconds;
    }
}
