using OilWatch.Alerts;
using OilWatch.Live;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Tests.Results;

namespace OilWatch.Console.Tests;

public sealed class WatchTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    private void Watch(Func<LiveRequest, CancellationToken, Task<SessionResult>> watch) => _bench.Parts = _bench.Parts with
    {
        Watch = (_, request, stop) => watch(request, stop),
        Play = (_, _, request, stop) => watch(request, stop),
    };

    private void Finds(params AlertChange[] changes) => Watch((request, _) =>
    {
        foreach (AlertChange change in changes) request.Changed!(change);
        return Task.FromResult(Sessions.Rich with { Alerts = [], Reading = new ReadingReport() });
    });

    private static AlertChange Step(AlertPhase phase, double seconds, EventEnd ending = EventEnd.Open, Severity severity = Severity.Warning) => new(
        phase, LogTime.FromSeconds(seconds), 7, Sessions.Rich.Alerts[0] with { Severity = severity, Ending = ending, Lap = 3, Corner = "C3L", Message = "Ease off now." });

    [Fact]
    public async Task Each_step_of_an_alert_is_a_line_with_word_and_shape()
    {
        Finds(Step(AlertPhase.Raised, 3723.46, severity: Severity.Caution), Step(AlertPhase.Escalated, 3724), Step(AlertPhase.Ended, 3725, EventEnd.Recovered),
            Step(AlertPhase.Raised, 3726), Step(AlertPhase.Ended, 3727, EventEnd.DataLost));
        Assert.Equal(0, await _bench.RunAsync("watch", "-"));
        string kind = Sessions.Rich.Alerts[0].Kind.Word();
        Assert.Contains($"1:02:03.4 !!  caution, alert 7, {kind}, lap 3, C3L: Ease off now.\n", Flat(_bench.Out), StringComparison.Ordinal);
        Assert.Contains("1:02:04.0 !!! now warning, alert 7,", _bench.Out, StringComparison.Ordinal);
        Assert.Contains("1:02:05.0     over (recovered), alert 7,", _bench.Out, StringComparison.Ordinal);
        Assert.Contains("1:02:06.0 !!! warning again, 2 times now, alert 7,", _bench.Out, StringComparison.Ordinal);
        Assert.Contains("1:02:07.0     no longer known (data lost), alert 7,", _bench.Out, StringComparison.Ordinal);
        Assert.StartsWith("Advice, not protection:", _bench.Out, StringComparison.Ordinal);
        Assert.DoesNotContain('\a', _bench.Out);
    }

    [Fact]
    public async Task Somebody_at_a_terminal_is_rung_reminded_and_heard()
    {
        using var pressed = new ManualResetEventSlim();
        _bench.Keys = new KeyPressed(pressed);
        Watch((request, _) =>
        {
            request.Changed!(Step(AlertPhase.Raised, 10));
            request.Ticked!(LogTime.FromSeconds(11));
            request.Ticked!(LogTime.FromSeconds(20));
            pressed.Set();
            Assert.True(SpinWait.SpinUntil(() => ((KeyPressed)_bench.Keys).IsDone, TimeSpan.FromSeconds(20)));
            request.Ticked!(LogTime.FromSeconds(60));
            return Task.FromResult(Sessions.Rich with { Reading = new ReadingReport() });
        });
        Assert.Equal(0, await _bench.RunAsync("watch", "tcp:x:1"));
        Assert.Equal(2, _bench.Out.Split("1 not acknowledged; gravest: alert 7,").Length);            // said once
        Assert.Equal(2, _bench.Out.Count(c => c == '\a'));
    }

    [Fact]
    public async Task Json_lines_carry_the_steps_and_the_summary_last()
    {
        Finds(Step(AlertPhase.Raised, 1), Step(AlertPhase.Ended, 2));
        Assert.Equal(0, await _bench.RunAsync("watch", "-", "--json"));
        string[] lines = _bench.Out.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.StartsWith("{\"phase\":\"raised\",\"at_s\":1,\"id\":7,\"kind\":", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("{\"phase\":\"ended\",\"at_s\":2,\"id\":7,\"kind\":", lines[1], StringComparison.Ordinal);
        Assert.Contains("\"verdict\":", lines[2], StringComparison.Ordinal);
        Assert.Equal(3, lines.Length);
    }

    [Fact]
    public async Task Interrupted_it_keeps_what_was_found_and_says_130()
    {
        using var interrupt = new CancellationTokenSource();
        _bench.Interrupt = interrupt.Token;
        Watch(async (_, stop) =>
        {
            await interrupt.CancelAsync();
            stop.WaitHandle.WaitOne();
            return Sessions.Rich with { Reading = new ReadingReport() };
        });
        Assert.Equal(130, await _bench.RunAsync("watch", "-", "--out", "~/run"));
        Assert.Equal(
            ["alerts.jsonl", "alerts.msgpack", "corners.csv", "laps.csv", "report.html", "summary.json", "summary.msgpack"], _bench.FilesIn("run"));
    }

    [Fact]
    public async Task Interrupted_before_anything_came_it_writes_nothing()
    {
        using var interrupt = new CancellationTokenSource();
        _bench.Interrupt = interrupt.Token;
        Watch(async (_, stop) =>
        {
            await interrupt.CancelAsync();
            stop.WaitHandle.WaitOne();
            throw new InputException("-: is empty");
        });
        Assert.Equal(130, await _bench.RunAsync("watch", "-", "--out", "~/run"));
        Assert.Equal("oilwatch: -: interrupted before anything could be judged; nothing was written\n", _bench.Error);
        Assert.Empty(_bench.FilesIn("run"));
    }

    [Fact]
    public async Task A_source_that_cannot_be_read_is_exit_code_3()
    {
        Watch((_, _) => throw new InputException("-: is empty; a log was expected"));
        Assert.Equal(3, await _bench.RunAsync("watch", "-"));
        Assert.Equal("oilwatch: -: is empty; a log was expected\n", _bench.Error);
    }

    [Fact]
    public async Task Quiet_says_only_what_is_wrong()
    {
        Watch((request, _) =>
        {
            request.Said!(new LiveNotice(null, "tcp:x:1: connected"));
            request.Said!(new LiveNotice(Severity.Advisory, "tcp:x:1: nothing has come for 3 s"));
            request.Changed!(Step(AlertPhase.Raised, 1));
            return Task.FromResult(Sessions.Rich with { Reading = new ReadingReport() });
        });
        Assert.Equal(0, await _bench.RunAsync("watch", "-", "--quiet"));
        Assert.Equal("", _bench.Out);
        Assert.Equal("oilwatch: tcp:x:1: nothing has come for 3 s\n", _bench.Error);
    }

    [Fact]
    public async Task A_log_that_is_played_is_not_replaced_by_its_results()
    {
        _bench.File("run/laps.csv");
        Assert.Equal(2, await _bench.RunAsync("watch", "play:" + _bench.PathOf("run/laps.csv"), "--out", "~/run"));
        Assert.Equal("oilwatch: ~/run/laps.csv: would be replaced by the results of the same name; choose another --out\n", _bench.Error);
    }

    [Fact]
    public async Task The_board_is_open_while_the_watch_goes_on_and_is_told_its_end()
    {
        int port = FreePort();
        string during = "";
        HttpResponseMessage? events = null;
        using var client = new HttpClient { BaseAddress = new Uri($"http://localhost:{port}/") };
        Watch(async (request, stop) =>
        {
            during = await client.GetStringAsync(new Uri("", UriKind.Relative), stop);
            events = await client.GetAsync(new Uri("events", UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, stop);
            request.Changed!(Step(AlertPhase.Raised, 1));
            return Sessions.Rich with { Verdict = Verdict.Stop, Headline = "Do not go out.", Reading = new ReadingReport() };
        });
        Assert.Equal(0, await _bench.RunAsync("watch", "-", "--board", $"{port}"));
        Assert.Contains("<title>Pit board</title>", during, StringComparison.Ordinal);
        Assert.Contains("The watch is over. Verdict: STOP. Do not go out.", await events!.Content.ReadAsStringAsync(), StringComparison.Ordinal);
        events.Dispose();
        Assert.Contains($"oilwatch: board: open http://localhost:{port}/\n", _bench.Error, StringComparison.Ordinal);
        await Assert.ThrowsAsync<HttpRequestException>(() => client.GetStringAsync(new Uri("", UriKind.Relative)));
    }

    [Fact]
    public async Task A_port_that_is_taken_is_exit_code_2_and_nothing_is_watched()
    {
        using var taken = new System.Net.Sockets.TcpListener(System.Net.IPAddress.Loopback, 0);
        taken.Start();
        int port = ((System.Net.IPEndPoint)taken.LocalEndpoint).Port;
        Watch((_, _) => throw new InvalidOperationException("nothing was to be watched"));
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--board", $"{port}"));
        Assert.Equal($"oilwatch: --board: port {port} of localhost is taken by another program; choose another\n", _bench.Error);
        Assert.Equal("", _bench.Out);
    }

    [Fact]
    public async Task A_token_is_made_where_there_is_none_and_never_said()
    {
        Watch((_, _) => Task.FromResult(Sessions.Rich with { Reading = new ReadingReport() }));
        Assert.Equal(0, await _bench.RunAsync("watch", "-", "--board", $"{FreePort()}", "--board-listen", "127.0.0.1", "--board-token-file", "~/token"));
        string token = _bench.Read("token").Trim();
        Assert.Equal(29, token.Length);
        Assert.Contains("; the token is in ~/token\n", _bench.Error, StringComparison.Ordinal);
        Assert.DoesNotContain(token, _bench.Error + _bench.Out, StringComparison.Ordinal);
        if (!OperatingSystem.IsWindows()) Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(_bench.PathOf("token")));
    }

    [Fact]
    public async Task A_token_that_cannot_be_used_is_exit_code_2()
    {
        string file = _bench.File("token", "too short\n");
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--board", $"{FreePort()}", "--board-listen", "0.0.0.0", "--board-token-file", file));
        Assert.Equal("oilwatch: ~/token: holds no token; 16 to 256 visible ASCII characters without spaces are needed, or no file: then one is made\n", _bench.Error);
    }

    private static int FreePort()
    {
        using var free = new System.Net.Sockets.TcpListener(System.Net.IPAddress.Loopback, 0);
        free.Start();
        return ((System.Net.IPEndPoint)free.LocalEndpoint).Port;
    }

    /// <summary>Enter, once, when the test says so; then the input is over.</summary>
    private sealed class KeyPressed(ManualResetEventSlim pressed) : StringReader("")
    {
        private int _reads;

        public bool IsDone => Volatile.Read(ref _reads) > 1;

        public override string? ReadLine()
        {
            pressed.Wait();
            return Interlocked.Increment(ref _reads) == 1 ? "" : null;
        }
    }

    /// <summary>Lines that go on further in are put together again.</summary>
    private static string Flat(string text) => text.Replace("\n              ", " ", StringComparison.Ordinal);
}
