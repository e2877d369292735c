using System.Collections.Immutable;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using OilWatch.Alerts;
using OilWatch.Board.Serving;
using OilWatch.Board.Showing;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Board;

/// <summary>Shows what a watch finds on a page, to this machine alone or to whoever knows the token.</summary>
/// <remarks>
/// One a watch: <see cref="StartAsync"/>, name it to the <see cref="LiveDesk"/> as a listener, <see cref="Follow"/> the desk, dispose of it when the watch is over.
/// It hears without waiting: what is heard is put where the next look finds it, and everything else happens on threads of its own. Whatever fails here is said
/// and does not reach the watch; pages that hear nothing any more say so themselves.
/// </remarks>
public sealed class PitBoard : ILiveListener, IAsyncDisposable
{
    private static readonly TimeSpan Beat = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan HealthAtMost = TimeSpan.FromMilliseconds(200);

    private readonly BoardOptions _options;
    private readonly BoardView _view;
    private readonly BoardServer _server;
    private readonly SemaphoreSlim _news = new(0);
    private readonly Task _showing;
    private readonly ITimer _beat;
    private BoardSnapshot _snapshot;
    private LiveDesk? _desk;
    private long _healthSaid;
    private int _signalled;
    private bool _changed;
    private bool _saidFailure;

    private PitBoard(BoardOptions options)
    {
        _options = options;
        _view = new BoardView(options);
        _snapshot = _view.Show(null, EngineState.Waiting, []);
        _server = new BoardServer(options, () => Volatile.Read(ref _snapshot), Acknowledge);
        _beat = options.Time.CreateTimer(_ => Signal(), null, Beat, Beat);
        _showing = Task.Run(ShowAsync);
    }

    /// <inheritdoc/>
    public string Name => "board";

    /// <summary>Where the board can be opened.</summary>
    public ImmutableArray<Uri> Addresses { get; private set; } = [];

    /// <summary>What it did and did not do so far.</summary>
    public BoardCounts Counts => _server.Counts;

    /// <summary>Opens a board.</summary>
    /// <param name="options">Where, to whom, and how.</param>
    /// <param name="stop">Gives it up.</param>
    /// <returns>The board, which can be opened in a browser from now on.</returns>
    /// <exception cref="ArgumentException">The options cannot be used; the message says why.</exception>
    /// <exception cref="IOException">It cannot listen there: the port is taken, or the address is not this machine's.</exception>
    public static async Task<PitBoard> StartAsync(BoardOptions options, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(options);
        if (options.Problems().ToList() is { Count: > 0 } problems) throw new ArgumentException(string.Join("; ", problems), nameof(options));
        var board = new PitBoard(options);
        try
        {
            await board._server.StartAsync(stop).ConfigureAwait(false);
        }
        catch
        {
            await board.DisposeAsync().ConfigureAwait(false);
            throw;
        }
        board.Addresses = [.. AddressesOf(options.Listen, board._server.Port)];
        return board;
    }

    /// <summary>Shows what a desk keeps, and acknowledges there.</summary>
    public void Follow(LiveDesk desk)
    {
        ArgumentNullException.ThrowIfNull(desk);
        Volatile.Write(ref _desk, desk);
        Signal();
    }

    /// <inheritdoc/>
    public void OnPlanned(ILogReader reader, ChannelPlan plan)
    {
        _view.Plan(reader, plan);
        Signal();
    }

    /// <inheritdoc/>
    public void OnChange(AlertChange change) => _changed = true;

    /// <inheritdoc/>
    public void OnStanding(LifePhase phase, StandingAlert alert) => Signal();

    /// <inheritdoc/>
    public void OnLap(LapSummary lap)
    {
        _view.Lap(lap);
        Signal();
    }

    /// <inheritdoc/>
    public void OnHealth(EngineHealth health)
    {
        _view.Health(health);
        long now = _options.Time.GetTimestamp();
        if (_healthSaid != 0 && _options.Time.GetElapsedTime(_healthSaid, now) < HealthAtMost) return;       // a log played fast
        _healthSaid = now;
        Signal();
    }

    /// <inheritdoc/>
    public void OnTick(LogTime at)
    {
        _view.Tick(at);
        if (!_changed) return;
        _changed = false;
        Signal();                        // a step that was not said, because too much was, stands all the same
    }

    /// <inheritdoc/>
    public void OnNotice(LiveNotice notice)
    {
        _view.Notice(notice);
        Signal();
    }

    /// <inheritdoc/>
    public void OnOver(SessionResult? result)
    {
        _view.Over(result);
        Signal();
    }

    /// <summary>Says on every page that the watch is over, where that has not been said, and ends.</summary>
    public async ValueTask DisposeAsync()
    {
        if (!_view.IsOver) OnOver(null);
        await _showing.ConfigureAwait(false);
        await _beat.DisposeAsync().ConfigureAwait(false);
        await _server.DisposeAsync().ConfigureAwait(false);
        _news.Dispose();
    }

    /// <summary>Looks again, soon. Several calls before the look make one.</summary>
    private void Signal()
    {
        if (Interlocked.Exchange(ref _signalled, 1) == 0) _news.Release();
    }

    private async Task ShowAsync()
    {
        while (!_snapshot.IsFinal)
        {
            await _news.WaitAsync().ConfigureAwait(false);
            Volatile.Write(ref _signalled, 0);
            try
            {
                LiveDesk? desk = Volatile.Read(ref _desk);
                ImmutableArray<StandingAlert> standing = desk?.Alerts.Standing ?? [];
                BoardSnapshot next = _view.Show(_snapshot, desk?.State ?? EngineState.Waiting, standing);
                BoardSnapshot before = _snapshot;
                Volatile.Write(ref _snapshot, next);
                before.Outdate();
            }
            catch (Exception error) when (error is not OutOfMemoryException)
            {
                if (_saidFailure) continue;
                _saidFailure = true;
                _options.Said?.Invoke(new LiveNotice(Severity.Advisory, $"board: does not show what is new: {error.Message}"));
            }
        }
    }

    /// <summary>Acknowledges what somebody has seen.</summary>
    /// <param name="seen">Marks of alerts as they were seen.</param>
    /// <returns>How many were not acknowledged because they are graver, or came again, since.</returns>
    private int Acknowledge(IReadOnlyList<string> seen)
    {
        if (Volatile.Read(ref _desk)?.Alerts is not { } alerts) return 0;
        Dictionary<int, string> marks = alerts.Standing.ToDictionary(alert => alert.Id, AlertCards.SeenMark);
        int changed = 0;
        foreach (string mark in seen.Distinct(StringComparer.Ordinal))
        {
            if (!int.TryParse(mark.AsSpan(0, Math.Max(0, mark.IndexOf('.', StringComparison.Ordinal))), NumberStyles.None, CultureInfo.InvariantCulture, out int id)) continue;
            if (!marks.TryGetValue(id, out string? now)) continue;                  // gone already: somebody else was quicker
            if (string.Equals(now, mark, StringComparison.Ordinal)) alerts.Acknowledge(id);
            else changed++;
        }
        Signal();
        return changed;
    }

    private static IEnumerable<Uri> AddressesOf(IPAddress? listen, int port)
    {
        if (listen is null) return [At("localhost")];
        if (!listen.Equals(IPAddress.Any) && !listen.Equals(IPAddress.IPv6Any)) return [At(Text(listen))];
        IPAddress[] own;
        try
        {
            own = Dns.GetHostAddresses(Dns.GetHostName());
        }
        catch (SocketException)
        {
            own = [];
        }
        bool six = listen.AddressFamily == AddressFamily.InterNetworkV6;
        IEnumerable<IPAddress> reachable = own.Where(address => !IPAddress.IsLoopback(address) && !address.IsIPv6LinkLocal && (six || address.AddressFamily == AddressFamily.InterNetwork));
        return [.. reachable.Select(address => At(Text(address))), At("localhost")];

        Uri At(string host) => new(FormattableString.Invariant($"http://{host}:{port}/"));

        static string Text(IPAddress address) => address.AddressFamily == AddressFamily.InterNetworkV6 ? $"[{address}]" : address.ToString();
    }
}
