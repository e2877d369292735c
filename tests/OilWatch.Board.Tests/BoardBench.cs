using System.Net;
using System.Net.Http.Json;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Tests.Results;

namespace OilWatch.Board.Tests;

/// <summary>A board on a free port of this machine, and a watch whose findings the test decides.</summary>
internal sealed class BoardBench : IAsyncDisposable
{
    private readonly LiveRequest _watch;

    private BoardBench(PitBoard board, List<LiveNotice> said)
    {
        Board = board;
        Said = said;
        Desk = new LiveDesk(AlertLifeOptions.Default, board);
        board.Follow(Desk);
        _watch = Desk.Into(LiveRequest.Default);
        Client = new HttpClient { BaseAddress = new Uri(Origin), Timeout = TimeSpan.FromSeconds(60) };
    }

    public PitBoard Board { get; }

    public LiveDesk Desk { get; }

    public HttpClient Client { get; }

    /// <summary>What the board said of itself.</summary>
    public List<LiveNotice> Said { get; }

    public int Port => Board.Addresses[0].Port;

    public string Origin => FormattableString.Invariant($"http://127.0.0.1:{Port}");

    public static async Task<BoardBench> OpenAsync(Func<BoardOptions, BoardOptions>? with = null)
    {
        List<LiveNotice> said = [];
        var options = new BoardOptions { Port = 0, CarName = "Number 27", Said = said.Add, Time = new ClockThatStands() };
        return new BoardBench(await PitBoard.StartAsync(with?.Invoke(options) ?? options), said);
    }

    public void Plan(params Role[] roles) => _watch.Planned!(
        new ReaderThatIsNamed("session.csv"),
        new ChannelPlan([.. (roles.Length > 0 ? roles : [Role.OilPressure, Role.EngineSpeed, Role.OilTemperature, Role.LateralG]).Select((role, i) =>
            new ChannelChoice(role, new LogChannel(i, role.Key(), null), 1, 0, "", "made up"))], []));

    /// <summary>A frame that is judged; a health comes of it when a second has gone by.</summary>
    public void Frame(double seconds, double pressureKpa = 400, double expectedKpa = 410)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(seconds)) { ExpectedKpa = expectedKpa, SpreadKpa = 10, LoadLateralG = 1.1, LoadLongitudinalG = 0, LapNumber = 3 };
        frame[Role.OilPressure] = pressureKpa;
        frame[Role.EngineSpeed] = 6512;
        frame[Role.OilTemperature] = 98;
        _watch.Judged!(frame);
    }

    public void Tick(double seconds) => _watch.Ticked!(LogTime.FromSeconds(seconds));

    public void Step(AlertPhase phase, int id, double seconds, Func<Alert, Alert>? with = null)
    {
        Alert alert = Sessions.Starvation with { Severity = Severity.Warning, Ending = phase == AlertPhase.Ended ? EventEnd.Recovered : EventEnd.Open, Message = "Ease off now." };
        _watch.Changed!(new AlertChange(phase, LogTime.FromSeconds(seconds), id, with?.Invoke(alert) ?? alert));
    }

    public void Lap(LapSummary lap) => _watch.LapEnded!(lap);

    public void Notice(string text, Severity? severity = null) => _watch.Said!(new LiveNotice(severity, text));

    public async Task<string> AcknowledgeAsync(params string[] seen)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, "acknowledge") { Content = JsonContent.Create(seen) };
        request.Content.Headers.ContentType = new("application/json");
        request.Headers.Add("Origin", Origin);
        using HttpResponseMessage answer = await Client.SendAsync(request);
        return await answer.Content.ReadAsStringAsync();
    }

    /// <summary>Looks on as a page does.</summary>
    public async Task<Page> LookAsync()
    {
        HttpResponseMessage response = await Client.GetAsync(new Uri("events", UriKind.Relative), HttpCompletionOption.ResponseHeadersRead);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        return new Page(response, new StreamReader(await response.Content.ReadAsStreamAsync()));
    }

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await Board.DisposeAsync();
    }

    /// <summary>Timers go on; nothing ever grows old.</summary>
    private sealed class ClockThatStands : TimeProvider
    {
        public override long GetTimestamp() => 1;
    }

    private sealed class ReaderThatIsNamed(string name) : ILogReader
    {
        public string Name => name;

        public string FormatName => "CSV";

        public IReadOnlyList<LogChannel> Channels => [];

        public IReadOnlyList<string> Assumptions => [];

        public ValueTask<ReadingReport> ReadAsync(IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default) =>
            throw new NotSupportedException();
    }
}
