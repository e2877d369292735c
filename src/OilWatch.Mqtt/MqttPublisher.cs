using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Mqtt.Linking;
using OilWatch.Mqtt.Spooling;
using OilWatch.Results;

namespace OilWatch.Mqtt;

/// <summary>Tells an MQTT 5 broker what a watch finds. Topics and payloads are in <c>docs/mqtt.md</c>.</summary>
/// <remarks>
/// <para>Whoever calls is never held up: calls put something in a queue of fixed size. A thread of its own takes it from there to the spool, and a task sends what is in the spool, one message at
/// a time, each as often as it takes until the broker has it.</para>
/// <para>Alerts and laps wait while the broker is away, in order. Of health, state and what stands only the latest counts: it is sent when the broker is back, and nothing of it is kept.</para>
/// </remarks>
public sealed class MqttPublisher : ILiveListener, IAsyncDisposable
{
    internal const int MostQueued = 4096;
    internal const long MemoryBytes = 4 * 1024 * 1024;
    internal static readonly TimeSpan PresentExpiry = TimeSpan.FromSeconds(30);
    internal static readonly TimeSpan PresentEvery = TimeSpan.FromSeconds(10);
    internal static readonly TimeSpan SilentAfter = TimeSpan.FromSeconds(5);

    private static readonly TimeSpan SettledAfter = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan LongestTaking = TimeSpan.FromSeconds(3);
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(1);

    private readonly MqttOptions _options;
    private readonly MqttTopics _topics;
    private readonly Action<LiveNotice> _say;
    private readonly TimeProvider _time;
    private readonly Func<IBrokerLink> _open;
    private readonly string _run = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(8));
    private readonly Lock _gate = new();
    private readonly Queue<Found> _queue = new();
    private readonly SemaphoreSlim _arrived = new(0, 1);
    private readonly SemaphoreSlim _wake = new(0, 1);
    private readonly CancellationTokenSource _stop = new();
    private readonly CancellationTokenSource _finish = new();
    private readonly Spool _spool;
    private readonly RetryPace _pace;
    private readonly int _leftBefore;
    private readonly Thread _taking;
    private readonly Task _sending;
    private readonly ITimer _look;
    private LiveDesk? _desk;
    private EngineHealth? _health;
    private long _healthAt;
    private long _sequence;
    private long _overrun;
    private long _sent;
    private bool _saidOverrun;
    private bool _closing;
    private volatile bool _taken;
    private volatile bool _connected;
    private volatile bool _standingChanged;
    private bool _disposed;

    // Of the sending task alone.
    private bool _everConnected;
    private bool _away;
    private long _awaySince;
    private bool _catchingUp;
    private long _caughtUp;
    private string? _saidState;
    private byte[]? _saidStanding;
    private long _saidStateAt;
    private long _saidStandingAt;
    private long _lookedAt;
    private EngineHealth? _saidHealth;
    private bool _silent;
    private bool _saidRefused;

    /// <summary>Begins to connect, and goes on until it is disposed of.</summary>
    /// <param name="options">Which broker, which topics.</param>
    /// <param name="say">Told when the broker is away and when it is back. From threads of the publisher; must return at once.</param>
    /// <param name="store">Where alerts and laps wait while the broker is away; null to keep them in memory, 4 MiB at most.</param>
    /// <param name="time">Paces the tries; the system's clock when null.</param>
    /// <exception cref="ArgumentException">The options cannot be used; the message holds every problem.</exception>
    public MqttPublisher(MqttOptions options, Action<LiveNotice> say, ISpoolStore? store = null, TimeProvider? time = null)
        : this(options, say, store, time, open: null, chance: Random.Shared.NextDouble)
    {
    }

    internal MqttPublisher(MqttOptions options, Action<LiveNotice> say, ISpoolStore? store, TimeProvider? time, Func<IBrokerLink>? open, Func<double> chance)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(say);
        if (options.Problems().ToList() is { Count: > 0 } problems) throw new ArgumentException(string.Join("; ", problems), nameof(options));
        _options = options;
        _say = say;
        _time = time ?? TimeProvider.System;
        _topics = new MqttTopics(options);
        _open = open ?? (() => new BrokerLink(_options, _topics.Status));
        _pace = new RetryPace(chance);
        _spool = new Spool(store, options.SpoolBytes, MemoryBytes, _time, say);
        _leftBefore = _spool.Count;
        _look = _time.CreateTimer(static state => Release((SemaphoreSlim)state!), _wake, LookEvery, LookEvery);
        _taking = new Thread(Take) { IsBackground = true, Name = "mqtt" };
        _taking.Start();
        _sending = Task.Run(SendAsync);
    }

    /// <inheritdoc/>
    public string Name => "mqtt";

    /// <summary>True while the broker is there.</summary>
    public bool IsConnected => _connected;

    /// <summary>Alerts and laps that the broker has not got yet.</summary>
    public int Waiting
    {
        get { lock (_gate) return _queue.Count + _spool.Count; }
    }

    /// <summary>Those of them that are spooled.</summary>
    internal int Spooled => _spool.Count;

    /// <summary>Bytes of them that are spooled.</summary>
    public long WaitingBytes => _spool.Bytes;

    /// <summary>Messages that the broker has taken: alerts and laps.</summary>
    public long Sent => Interlocked.Read(ref _sent);

    /// <summary>Alerts and laps that were given up because there was no more room.</summary>
    public long LeftOut => _spool.LeftOut + Interlocked.Read(ref _overrun);

    /// <summary>Says also what stands, and the state of the engine the moment it changes.</summary>
    /// <param name="desk">The desk of the watch that this listens to.</param>
    public void Follow(LiveDesk desk)
    {
        ArgumentNullException.ThrowIfNull(desk);
        Volatile.Write(ref _desk, desk);
        Release(_wake);
    }

    /// <inheritdoc/>
    public void OnChange(AlertChange change)
    {
        ArgumentNullException.ThrowIfNull(change);
        int rank = change.Alert.Severity switch
        {
            Severity.Warning => 2,
            Severity.Caution => 1,
            _ => 0,
        };
        Enqueue(change, rank);
    }

    /// <inheritdoc/>
    public void OnLap(LapSummary lap)
    {
        ArgumentNullException.ThrowIfNull(lap);
        Enqueue(lap, rank: 0);
    }

    /// <inheritdoc/>
    public void OnStanding(LifePhase phase, StandingAlert alert)
    {
        _standingChanged = true;
        Release(_wake);
    }

    /// <inheritdoc/>
    public void OnHealth(EngineHealth health)
    {
        Volatile.Write(ref _healthAt, _time.GetTimestamp());
        Volatile.Write(ref _health, health);
        Release(_wake);
    }

    /// <summary>Sends what is left, for as long as <see cref="MqttOptions.Farewell"/> at most and only while the broker is there; says <c>offline</c> and closes the spool.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_disposed) return;
        _disposed = true;
        lock (_gate) _closing = true;
        Release(_arrived);
        if (!await Task.Run(() => _taking.Join(LongestTaking)).ConfigureAwait(false))
        {
            // A disk that hangs holds the spool; nothing that waits for it may hold up the end.
            await _stop.CancelAsync().ConfigureAwait(false);
            await _look.DisposeAsync().ConfigureAwait(false);
            _say(new LiveNotice(Severity.Advisory, $"{_options.Name}: the disk does not take what is to be sent; given up"));
            return;
        }
        await _finish.CancelAsync().ConfigureAwait(false);
        Release(_wake);
        await Task.WhenAny(_sending, Task.Delay(_options.Farewell)).ConfigureAwait(false);
        await _stop.CancelAsync().ConfigureAwait(false);
        await _sending.ConfigureAwait(false);
        await _look.DisposeAsync().ConfigureAwait(false);
        if (_spool.Count is > 0 and int left)
        {
            string fate = _spool.IsOnDisk ? "they are kept and go with the next watch that spools to the same folder" : "they are gone; the files hold every alert";
            _say(new LiveNotice(Severity.Advisory, string.Create(CultureInfo.InvariantCulture, $"{_options.Name}: {left} messages were not sent; {fate}")));
        }
        _spool.Dispose();
        _stop.Dispose();
        _finish.Dispose();
    }

    private static void Release(SemaphoreSlim gate)
    {
        try
        {
            if (gate.CurrentCount == 0) gate.Release();
        }
        catch (SemaphoreFullException)
        {
            // Somebody else did just now.
        }
    }

    private void Enqueue(object what, int rank)
    {
        bool overrun = false;
        lock (_gate)
        {
            if (_closing) return;
            if (_queue.Count >= MostQueued)
            {
                _queue.Dequeue();
                Interlocked.Increment(ref _overrun);
                (overrun, _saidOverrun) = (!_saidOverrun, true);
            }
            _queue.Enqueue(new Found(++_sequence, _time.GetUtcNow(), rank, what));
        }
        Release(_arrived);
        if (overrun) _say(new LiveNotice(Severity.Advisory, "mqtt: more is found than the disk takes; the oldest messages are left out; the files hold every alert"));
    }

    /// <summary>Takes what was found from the queue to the spool. A thread of its own, because it writes to a disk.</summary>
    private void Take()
    {
        while (true)
        {
            Found found;
            lock (_gate)
            {
                if (!_queue.TryPeek(out found))
                {
                    if (_closing) break;
                    found = default;
                }
            }
            if (found.What is null)
            {
                if (!_connected) _spool.Flush();
                _arrived.Wait();
                continue;
            }
            Keep(in found);
            lock (_gate)
            {
                // It stays in the queue until it is in the spool, so that it is always in one of them; when the queue has run over meanwhile it is gone from it already.
                if (_queue.TryPeek(out Found first) && first.Sequence == found.Sequence) _queue.Dequeue();
            }
            Release(_wake);
        }
        if (!_connected) _spool.Flush();
        _taken = true;
        Release(_wake);
    }

    private void Keep(in Found found)
    {
        try
        {
            (string topic, byte[] payload) = found.What is AlertChange change
                ? (_topics.Alerts, MqttPayloads.Alert(change, _options.MaxPayloadBytes))
                : (_topics.Laps, MqttPayloads.Lap((LapSummary)found.What!));
            long us = (found.At - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond;
            _spool.Append(new SpooledMessage(_run, found.Sequence, us, found.Rank, topic, payload));
        }
        catch (Exception error) when (error is not OutOfMemoryException)
        {
            if (Interlocked.Increment(ref _overrun) == 1) _say(new LiveNotice(Severity.Advisory, $"mqtt: a message could not be kept and is left out: {error.Message.TrimEnd('.')}; the files hold every alert"));
        }
    }

    private async Task SendAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            string why;
            try
            {
                IBrokerLink link = _open();
                await using (link.ConfigureAwait(false))
                {
                    await link.ConnectAsync(() => Release(_wake), _stop.Token).ConfigureAwait(false);
                    if (await ServeAsync(link).ConfigureAwait(false)) return;
                    why = link.Lost ?? "the connection was lost";
                }
            }
            catch (BrokerException error)
            {
                why = error.Message;
            }
            catch (OperationCanceledException) when (_stop.IsCancellationRequested)
            {
                break;
            }
            catch (Exception error) when (error is not OutOfMemoryException)
            {
                why = $"{error.GetType().Name}: {error.Message}";
            }
            _connected = false;
            _spool.Flush();
            SayAway(why);
            if (!await WaitAsync(_pace.Next()).ConfigureAwait(false)) break;
        }
        _connected = false;
    }

    /// <summary>Waits before the next try; the end of the watch ends the wait, and there is no other try.</summary>
    private async Task<bool> WaitAsync(TimeSpan wait)
    {
        try
        {
            await Task.Delay(wait, _time, _finish.Token).ConfigureAwait(false);
            return true;
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }

    /// <summary>Sends over one connection until it is lost (false) or all is said and done (true).</summary>
    private async Task<bool> ServeAsync(IBrokerLink link)
    {
        long connectedAt = _time.GetTimestamp();
        await link.PublishAsync(new OutgoingMessage(_topics.Status, "online"u8.ToArray()) { Retain = true, ContentType = BrokerLink.TextPlain, Mark = (_run, null, null) }, _stop.Token).ConfigureAwait(false);
        _connected = true;
        SayBack();
        (_saidState, _saidStanding, _saidHealth) = (null, null, null);
        bool settled = false;
        while (link.Lost is null)
        {
            if (!settled && _time.GetElapsedTime(connectedAt) >= SettledAfter)
            {
                settled = true;
                _pace.Reset();
            }
            await SayPresentAsync(link).ConfigureAwait(false);
            if (_spool.TryPeek(out SpooledMessage? message))
            {
                await SendAsync(link, message!).ConfigureAwait(false);
                continue;
            }
            if (_catchingUp) SayAllSent();
            if (_finish.IsCancellationRequested && _taken && _spool.Count == 0)
            {
                await LeaveAsync(link).ConfigureAwait(false);
                return true;
            }
            await _wake.WaitAsync(_stop.Token).ConfigureAwait(false);
        }
        return false;
    }

    private async Task SendAsync(IBrokerLink link, SpooledMessage message)
    {
        try
        {
            await link.PublishAsync(
                new OutgoingMessage(message.Topic, message.Payload)
                {
                    ContentType = Json,
                    ExpiryS = (uint)_options.Expiry.TotalSeconds,
                    Mark = (message.Run, message.Sequence, Utc(message.AtUs)),
                },
                _stop.Token).ConfigureAwait(false);
            Interlocked.Increment(ref _sent);
            if (_catchingUp) _caughtUp++;
        }
        catch (BrokerException refusal) when (refusal.IsForGood)
        {
            SayRefused(refusal);
        }
        _spool.Done(message);
    }

    private async Task SayAsync(IBrokerLink link, OutgoingMessage message)
    {
        try
        {
            await link.PublishAsync(message, _stop.Token).ConfigureAwait(false);
        }
        catch (BrokerException refusal) when (refusal.IsForGood)
        {
            SayRefused(refusal);
        }
    }

    private void SayRefused(BrokerException refusal)
    {
        if (!_saidRefused) _say(new LiveNotice(Severity.Advisory, $"{_options.Name}: {refusal.Message}; left out, and so are others like it"));
        _saidRefused = true;
    }

    /// <summary>State, what stands, and health, where they are not as they were said last.</summary>
    private async Task SayPresentAsync(IBrokerLink link)
    {
        EngineHealth? health = Volatile.Read(ref _health);
        LiveDesk? desk = Volatile.Read(ref _desk);
        bool silent = health is not null && _time.GetElapsedTime(Volatile.Read(ref _healthAt)) >= SilentAfter;
        EngineState engine = desk?.State ?? health?.State ?? EngineState.Waiting;
        if (silent && engine != EngineState.Stop) engine = EngineState.Unknown;
        string state = MqttPayloads.Word(engine);
        if (!string.Equals(state, _saidState, StringComparison.Ordinal) || IsDue(_saidStateAt))
        {
            await SayAsync(link, Present(_topics.State, System.Text.Encoding.UTF8.GetBytes(state), BrokerLink.TextPlain)).ConfigureAwait(false);
            (_saidState, _saidStateAt) = (state, _time.GetTimestamp());
        }
        if (desk is not null && (_standingChanged || _saidStanding is null || _time.GetElapsedTime(_lookedAt) >= LookEvery))
        {
            (_standingChanged, _lookedAt) = (false, _time.GetTimestamp());
            ImmutableArray<StandingAlert> standing = desk.Alerts.Standing;
            byte[] payload = MqttPayloads.Standing(engine, standing, _options.MaxPayloadBytes);
            if (_saidStanding is null || !payload.AsSpan().SequenceEqual(_saidStanding) || IsDue(_saidStandingAt))
            {
                await SayAsync(link, Present(_topics.Standing, payload, Json)).ConfigureAwait(false);
                (_saidStanding, _saidStandingAt) = (payload, _time.GetTimestamp());
            }
        }
        if (silent != _silent)
        {
            _silent = silent;
            if (silent) await SayAsync(link, new OutgoingMessage(_topics.Health, []) { Retain = true }).ConfigureAwait(false);
        }
        if (!silent && health is not null && !ReferenceEquals(health, _saidHealth))
        {
            await SayAsync(link, Present(_topics.Health, MqttPayloads.Health(health), Json) with { MustArrive = false }).ConfigureAwait(false);
            _saidHealth = health;
        }
    }

    private bool IsDue(long saidAt) => _time.GetElapsedTime(saidAt) >= PresentEvery;

    private OutgoingMessage Present(string topic, byte[] payload, string contentType) =>
        new(topic, payload) { Retain = true, ContentType = contentType, ExpiryS = (uint)PresentExpiry.TotalSeconds, Mark = (_run, null, null) };

    /// <summary>Nobody watches any more: what was true while somebody did is taken away.</summary>
    private async Task LeaveAsync(IBrokerLink link)
    {
        foreach (string topic in new[] { _topics.Health, _topics.State, _topics.Standing })
            await link.PublishAsync(new OutgoingMessage(topic, []) { Retain = true }, _stop.Token).ConfigureAwait(false);
        await link.PublishAsync(new OutgoingMessage(_topics.Status, "offline"u8.ToArray()) { Retain = true, ContentType = BrokerLink.TextPlain, Mark = (_run, null, null) }, _stop.Token).ConfigureAwait(false);
        await link.DisconnectAsync().ConfigureAwait(false);
    }

    private void SayAway(string why)
    {
        if (_away || _stop.IsCancellationRequested) return;
        _away = true;
        _awaySince = _time.GetTimestamp();
        string kept = _spool.IsOnDisk ? "alerts and laps are kept on disk meanwhile" : "alerts and laps are kept in memory meanwhile";
        _say(new LiveNotice(Severity.Advisory, $"{_options.Name}: {(_everConnected ? "broker away" : "cannot connect")}: {why}; {kept}, trying on"));
    }

    private void SayBack()
    {
        int waiting = _spool.Count;
        if (_away)
        {
            string length = string.Create(CultureInfo.InvariantCulture, $"{_time.GetElapsedTime(_awaySince).TotalSeconds:0}");
            _say(new LiveNotice(null, string.Create(CultureInfo.InvariantCulture, $"{_options.Name}: broker back after {length} s, {waiting} messages spooled")));
        }
        else
        {
            waiting = _leftBefore;
            string left = waiting > 0 ? string.Create(CultureInfo.InvariantCulture, $", {waiting} messages of an earlier run spooled") : "";
            _say(new LiveNotice(null, $"{_options.Name}: connected{left}"));
        }
        _everConnected = true;
        _away = false;
        if (waiting > 0 && !_catchingUp)
        {
            _catchingUp = true;
            _caughtUp = 0;
        }
    }

    private void SayAllSent()
    {
        _catchingUp = false;
        _say(new LiveNotice(null, string.Create(CultureInfo.InvariantCulture, $"{_options.Name}: all sent ({_caughtUp} messages)")));
    }

    private static string Utc(long us) =>
        DateTimeOffset.UnixEpoch.AddTicks(us * TimeSpan.TicksPerMicrosecond).ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    private const string Json = "application/json";

    /// <summary>Something found, before it is a message.</summary>
    private readonly record struct Found(long Sequence, DateTimeOffset At, int Rank, object? What);
}
