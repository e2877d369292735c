using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using OilWatch.Alerts;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Live.Recording;
using OilWatch.Live.Sources;
using OilWatch.Mqtt;
using OilWatch.Mqtt.Spooling;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Hosting;

/// <summary>Runs the watch, and owns how it ends: results written, files closed, everybody told, exit code set, host stopped.</summary>
internal sealed class WatchService(
    IOptions<OilWatchOptions> asked, OilWatchStatus status, LiveFeed feed, ServiceManager manager, IEnumerable<ILiveListener> listeners, IServiceProvider services,
    IMeterFactory meters, IHostApplicationLifetime lifetime, TimeProvider time, ILogger<WatchService> log) : BackgroundService, ILiveListener
{
    private const int WrongOptions = 2, NothingRead = 3;

    private static readonly TimeSpan SayStateEvery = TimeSpan.FromSeconds(10);

    private readonly OilWatchOptions _options = asked.Value;
    private bool _prepared;
    private string? _saidState;
    private long _saidStateAt;
    private (long Bytes, long Records) _lastLook;

    string ILiveListener.Name => "log";

    void ILiveListener.OnNotice(LiveNotice notice) => Say(notice);

    void ILiveListener.OnChange(AlertChange change)
    {
        Alert alert = change.Alert;
        Log.Alert(log, change.Phase.Word(), alert.Severity.Word(), change.Id, alert.Kind.Word(), alert.Message);
    }

    void ILiveListener.OnHealth(EngineHealth health)
    {
        string state = $"{health.State.ToString().ToUpperInvariant()}{(health.Lap is { } lap ? FormattableString.Invariant($", lap {lap}") : "")}";
        if (string.Equals(state, _saidState, StringComparison.Ordinal) && time.GetElapsedTime(_saidStateAt) < SayStateEvery) return;
        (_saidState, _saidStateAt) = (state, time.GetTimestamp());
        manager.Say($"STATUS={state}");
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        SessionResult? result = null;
        Exception? failure = null;
        int exitCode = 0;
        try
        {
            using ITimer? signs = manager.SignEvery is { } every ? time.CreateTimer(_ => GiveSign(), null, every, every) : null;
            result = await WatchAsync(stoppingToken).ConfigureAwait(false);
            Log.Over(log, ResultWords.Of(result.Verdict), result.Headline);
        }
        catch (InputException) when (stoppingToken.IsCancellationRequested)
        {
            // It was stopped before anything could be judged: nothing was found, and nothing is wrong.
        }
        catch (Exception error) when (error is not OutOfMemoryException)
        {
            failure = error;
            exitCode = _prepared ? NothingRead : WrongOptions;
            Log.Failed(log, error.Message);
        }
        if (result is not null && _options.ResultsFolder is { } folder)
        {
            try
            {
                ResultsFolder.Write(folder, result);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                failure = error;
                exitCode = WrongOptions;
                Log.NotWritten(log, error.Message);
            }
        }
        status.End(result, failure, exitCode);
        feed.End(failure);
        await Task.Run(feed.Wait, CancellationToken.None).ConfigureAwait(false);
        if (exitCode != 0) Environment.ExitCode = exitCode;                 // a host whose service failed ends with 0 otherwise
        if (_options.StopHostWhenOver || failure is not null) lifetime.StopApplication();
    }

    public override Task StopAsync(CancellationToken cancellationToken)
    {
        manager.Say("STOPPING=1");
        return base.StopAsync(cancellationToken);
    }

    private async Task<SessionResult> WatchAsync(CancellationToken stop)
    {
        (AnalysisOptions options, ReaderOptions readers) = CarInputs.Read(_options);
        if (_options.ResultsFolder is { } folder) ResultsFolder.Prepare(folder);
        _prepared = true;
        ILiveSource? source = services.GetService<ILiveSource>() ?? Source();
        using var metrics = new LiveMetrics(meters, options.Car.Name, time);
        using Recorder? recorder = source is null || _options.ResultsFolder is null || !_options.Record ? null : new Recorder(
            new RecordingFolder(_options.ResultsFolder), source.Name, readers.CanDatabases, Say, time: time);
        Heartbeat? heartbeat = source is null ? null : new Heartbeat(recorder, time);
        MqttPublisher? mqtt = Broker(options.Car.Name);
        try
        {
            ILiveListener[] all = [this, feed, metrics, .. mqtt is null ? (ILiveListener[])[] : [mqtt], .. listeners];
            var desk = new LiveDesk(AlertLifeOptions.Default, all);
            metrics.Follow(desk);
            if (recorder is not null) metrics.Follow(recorder);
            mqtt?.Follow(desk);
            mqtt?.MeasuredBy(metrics.Meter);
            (status.Counts, status.Desk, status.Recorder, status.Mqtt, status.Heartbeat) = (metrics.Counts, desk, recorder, mqtt, heartbeat);
            LiveRequest request = desk.Into(new LiveRequest { Options = options, Readers = readers, Tap = heartbeat, Counts = metrics.Counts, Time = time });
            status.Begin();
            manager.Say("READY=1");
            SessionResult? result = null;
            try
            {
                return result = source is not null
                    ? await LiveWatch.RunAsync(source, request, stop).ConfigureAwait(false)
                    : await LiveWatch.PlayAsync(CarInputs.Log(_options.Played!), _options.Pace, request, stop).ConfigureAwait(false);
            }
            finally
            {
                desk.Over(result);
            }
        }
        finally
        {
            if (mqtt is not null) await mqtt.DisposeAsync().ConfigureAwait(false);
        }
    }

    private ILiveSource? Source()
    {
        if (_options.Played is not null) return null;
        (ILiveSource? source, string? problem) = LiveSources.Parse(
            _options.Source!, new TcpOptions { EndWhenClosed = _options.UntilClosed }, new SerialOptions { OpenCommands = SerialOptions.OpenCommandsFor(_options.BusKbit)! });
        return source ?? throw new InputException(problem!);
    }

    private MqttPublisher? Broker(string? car)
    {
        if (_options.Mqtt.Read().Options is not { } broker) return null;
        string? spool = _options.Mqtt.SpoolFolder ?? _options.ResultsFolder;
        return new MqttPublisher(broker with { Car = car ?? "car" }, Say, spool is null ? null : new SpoolFolder(spool), time);
    }

    private void Say(LiveNotice notice)
    {
        if (notice.Severity is null) Log.News(log, notice.Text);
        else Log.Trouble(log, notice.Text);
    }

    /// <summary>Tells the watchdog that all is well, where it is: the analysis has gone on, or nothing has come for it to go on with.</summary>
    private void GiveSign()
    {
        (long Bytes, long Records) now = (status.Counts.SourceBytes, status.Counts.Records);
        bool stuck = status.IsRunning && now.Bytes > _lastLook.Bytes && now.Records == _lastLook.Records && now.Records > 0;
        _lastLook = now;
        if (stuck) Log.Stuck(log);
        else manager.Say("WATCHDOG=1");
    }
}
