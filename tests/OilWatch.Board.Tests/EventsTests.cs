using System.Net;
using System.Net.Sockets;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Results;
using OilWatch.Tests.Results;

#pragma warning disable MA0002 // Assert compares texts ordinally by itself.

namespace OilWatch.Board.Tests;

public sealed class EventsTests
{
    [Fact]
    public async Task An_alert_arrives_on_every_page()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        bench.Plan();
        Page[] pages = await Task.WhenAll(Enumerable.Range(0, 20).Select(_ => bench.LookAsync()));
        foreach (Page page in pages) await page.UntilAsync(seen => seen.Parts.ContainsKey("alerts"));
        bench.Step(AlertPhase.Raised, 7, 300);
        foreach (Page page in pages)
        {
            await page.UntilAsync(seen => seen.Cards.Count == 1);
            Assert.Equal("stop", page.State);
            Assert.Equal("Ease off now.", page.Sentence);
            Assert.Equal("warning", page.Cards[0]!["severity"]!.GetValue<string>());
            page.Dispose();
        }
    }

    [Fact]
    public async Task Who_comes_back_is_shown_what_stands_and_loses_nothing()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        bench.Plan();
        using Page stayed = await bench.LookAsync();
        using (Page left = await bench.LookAsync()) await left.UntilAsync(_ => true);
        bench.Step(AlertPhase.Raised, 1, 10);
        bench.Step(AlertPhase.Ended, 1, 11);
        bench.Step(AlertPhase.Raised, 2, 12, alert => alert with { Kind = AlertKind.OverSpeed, Severity = Severity.Caution });
        bench.Lap(Sessions.Rich.Laps[0]);
        await stayed.UntilAsync(page => page.Cards.Count == 2 && page.Parts["laps"]["rows"]!.AsArray().Count == 1);
        using Page back = await bench.LookAsync();
        await back.UntilAsync(_ => true);
        Assert.Equal(stayed.Standing, back.Standing);
        Assert.Equal("over: back to what it should be", back.Cards[0]!["status"]!.GetValue<string>());
        Assert.Equal(back.Ids[0], Assert.Single(back.Ids));
    }

    [Fact]
    public async Task Numbers_of_events_rise()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        using Page page = await bench.LookAsync();
        for (int i = 1; i <= 5; i++)
        {
            bench.Notice($"notice {i}");
            await page.UntilAsync(seen => seen.Parts["notices"]["rows"]!.AsArray().Any(row => string.Equals(row!["text"]!.GetValue<string>(), $"notice {i}", StringComparison.Ordinal)));
        }
        Assert.Equal(page.Ids.Order().Distinct(), page.Ids);
    }

    [Fact]
    public async Task What_is_acknowledged_goes_when_it_is_over()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        bench.Plan();
        using Page page = await bench.LookAsync();
        bench.Step(AlertPhase.Raised, 7, 10);
        await page.UntilAsync(seen => seen.Cards.Count == 1);
        string mark = page.Cards[0]!["seen"]!.GetValue<string>();
        Assert.Equal("{\"changed\":0}", await bench.AcknowledgeAsync(mark));
        await page.UntilAsync(seen => seen.Cards[0]!["acknowledged"]!.GetValue<bool>());
        Assert.Equal("stop", page.State);                        // it lasts
        bench.Step(AlertPhase.Ended, 7, 12);
        await page.UntilAsync(seen => seen.Cards.Count == 0);
        Assert.NotEqual("stop", page.State);
    }

    [Fact]
    public async Task What_became_graver_since_it_was_seen_is_not_acknowledged()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        using Page page = await bench.LookAsync();
        bench.Step(AlertPhase.Raised, 7, 10, alert => alert with { Severity = Severity.Caution });
        await page.UntilAsync(seen => seen.Cards.Count == 1);
        string mark = page.Cards[0]!["seen"]!.GetValue<string>();
        bench.Step(AlertPhase.Escalated, 7, 11);
        Assert.Equal("{\"changed\":1}", await bench.AcknowledgeAsync(mark));
        Assert.False(bench.Desk.Alerts.Standing.Single().IsAcknowledged);
    }

    [Fact]
    public async Task The_end_is_said_with_the_verdict_and_nothing_follows()
    {
        BoardBench bench = await BoardBench.OpenAsync();
        using Page page = await bench.LookAsync();
        await page.UntilAsync(_ => true);
        bench.Desk.Over(Sessions.Rich with { Verdict = Verdict.Stop, Headline = "Oil starvation 9 times." });
        while (await page.NextAsync())
        {
            // Until the end of what comes.
        }
        Assert.Equal("over", page.State);
        Assert.Equal("The watch is over. Verdict: STOP. Oil starvation 9 times.", page.Sentence);
        await bench.DisposeAsync();
    }

    [Fact]
    public async Task A_watch_that_fails_is_over_without_a_result()
    {
        BoardBench bench = await BoardBench.OpenAsync();
        using Page page = await bench.LookAsync();
        await page.UntilAsync(_ => true);
        ValueTask closing = bench.Board.DisposeAsync();
        while (await page.NextAsync())
        {
            // Until the end of what comes.
        }
        await closing;
        Assert.Equal("The watch has ended without a result. Nothing more is known of the engine.", page.Sentence);
    }

    [Fact]
    public async Task A_page_that_takes_nothing_is_cut_off_and_holds_nobody_up()
    {
        await using BoardBench bench = await BoardBench.OpenAsync(options => options with { Patience = TimeSpan.FromMilliseconds(300) });
        bench.Plan();
        using var slow = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp) { ReceiveBufferSize = 4096 };
        await slow.ConnectAsync(new IPEndPoint(IPAddress.Loopback, bench.Port));
        await slow.SendAsync(Encoding.ASCII.GetBytes($"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{bench.Port}\r\n\r\n"));
        string filling = new('x', 390);
        using (var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60)))
        {
            for (int i = 1; bench.Board.Counts.Cut == 0; i++)
            {
                patience.Token.ThrowIfCancellationRequested();
                bench.Notice($"{i} {filling}");
                await Task.Yield();
            }
        }
        using Page other = await bench.LookAsync();
        bench.Step(AlertPhase.Raised, 7, 300);
        await other.UntilAsync(page => page.Cards.Count == 1);
        Assert.Contains(bench.Said, notice => notice.Text.StartsWith("board: a page took nothing for 0.3 s and was cut off", StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_waits_for_a_slow_page_does_not_grow()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        bench.Plan();
        for (int i = 0; i < 3000; i++)
        {
            bench.Lap(Sessions.Rich.Laps[0] with { Lap = i });
            bench.Notice($"notice {i}");
        }
        using Page page = await bench.LookAsync();
        await page.UntilAsync(seen => seen.Parts["laps"]["ended"]!.GetValue<int>() == 3000);
        Assert.Equal(8, page.Parts["laps"]["rows"]!.AsArray().Count);
        Assert.Equal(2999, page.Parts["laps"]["rows"]![0]!["lap"]!.GetValue<int>());
        Assert.Equal(6, page.Parts["notices"]["rows"]!.AsArray().Count);
    }

    [Fact]
    public async Task Only_so_many_pages_look_on_at_once()
    {
        await using BoardBench bench = await BoardBench.OpenAsync(options => options with { MostReaders = 2 });
        using Page one = await bench.LookAsync();
        using (Page two = await bench.LookAsync())
        {
            using HttpResponseMessage third = await bench.Client.GetAsync(new Uri("events", UriKind.Relative));
            Assert.Equal(HttpStatusCode.ServiceUnavailable, third.StatusCode);
            Assert.Equal(1, bench.Board.Counts.Crowded);
        }
        Assert.True(SpinWait.SpinUntil(() => bench.Board.Counts.Readers < 2, TimeSpan.FromSeconds(30)));
        using Page again = await bench.LookAsync();
        await again.UntilAsync(_ => true);
    }

    [Fact]
    public async Task A_taken_port_is_said_before_the_watch_begins()
    {
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        int port = ((IPEndPoint)taken.LocalEndpoint).Port;
        IOException error = await Assert.ThrowsAsync<IOException>(() => PitBoard.StartAsync(new BoardOptions { Port = port }));
        Assert.Equal($"port {port} of localhost is taken by another program; choose another", error.Message);
        error = await Assert.ThrowsAsync<IOException>(() => PitBoard.StartAsync(new BoardOptions { Port = port, Listen = IPAddress.Parse("192.0.2.1"), Token = DoorTests.Token }));
        Assert.Equal("192.0.2.1: this machine has no such address", error.Message);
    }

    [Fact]
    public async Task A_board_for_others_without_a_token_is_refused()
    {
        ArgumentException error = await Assert.ThrowsAsync<ArgumentException>(() => PitBoard.StartAsync(new BoardOptions { Port = 0, Listen = IPAddress.Any }));
        Assert.StartsWith("0.0.0.0 can be reached by other machines: a token is needed", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_lap_that_could_not_be_judged_is_empty_and_not_no()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        bench.Lap(new LapSummary { Lap = 1, Kind = LapKind.Out, Start = LogTime.FromSeconds(0), End = LogTime.FromSeconds(83.5) });
        bench.Lap(new LapSummary { Lap = 2, Kind = LapKind.Timed, Start = LogTime.FromSeconds(83.5), End = LogTime.FromSeconds(160), StarvationEvents = 0, OilPressureMinRatio = 0.97, OilPressureMinKpa = 401 });
        using Page page = await bench.LookAsync();
        await page.UntilAsync(seen => seen.Parts["laps"]["ended"]!.GetValue<int>() == 2);
        Assert.Equal(
            """[{"lap":2,"kind":"","time":"1:16.500","lowest":"97 %","pressure":"401 kPa","starved":"no","harmed":false,"hottest":""},{"lap":1,"kind":"out","time":"1:23.500","lowest":"","pressure":"","starved":"","harmed":false,"hottest":""}]""",
            page.Parts["laps"]["rows"]!.ToJsonString());
    }
}
