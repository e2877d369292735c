using System.IO.Pipes;
using System.Net;
using System.Net.Sockets;
using OilWatch.Alerts;
using OilWatch.Live.Sources;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Live.Tests;

/// <summary>The same bytes give the same bytes of alerts.jsonl, watched or replayed as live, whatever the way in and the pace.</summary>
public sealed class LiveEqualsReplayTests
{
    private static readonly CanRun Run = CanRun.Of("wet-left", 16);
    private static readonly Lazy<Task<string>> Replayed = new(() => Run.ReplayedAsync());

    private static LiveRequest Request => new() { Readers = Run.Readers };

    [Fact]
    public async Task The_run_has_something_to_find() =>
        Assert.Contains("\"kind\":\"oil-starvation\"", await Replayed.Value, StringComparison.Ordinal);

    [Theory]
    [InlineData(1_000_003)]
    [InlineData(4_099)]
    [InlineData(61)]
    public async Task A_pipe_in_pieces_of_any_size(int piece)
    {
        await using var writing = new AnonymousPipeServerStream(PipeDirection.Out);
        await using var reading = new AnonymousPipeClientStream(PipeDirection.In, writing.ClientSafePipeHandle);
        Task<SessionResult> watched = LiveWatch.RunAsync(new StreamSource("-", () => reading), Request);
        await Task.Run(() =>
        {
            for (int at = 0; at < Run.Log.Length; at += piece) writing.Write(Run.Log, at, Math.Min(piece, Run.Log.Length - at));
            writing.Dispose();
        });
        Assert.Equal(await Replayed.Value, CanRun.Alerts(await watched));
    }

    [Fact]
    public async Task A_connection_over_tcp()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        int port = ((IPEndPoint)listener.LocalEndpoint).Port;
        var said = new List<string>();
        Task<SessionResult> watched = LiveWatch.RunAsync(
            new TcpSource("127.0.0.1", port, new TcpOptions { EndWhenClosed = true }),
            Request with { Said = notice => { lock (said) said.Add(notice.Text); } });
        using (Socket peer = await listener.AcceptSocketAsync())
        {
            for (int at = 0; at < Run.Log.Length; at += 1460) peer.Send(Run.Log, at, Math.Min(1460, Run.Log.Length - at), SocketFlags.None);
        }
        Assert.Equal(await Replayed.Value, CanRun.Alerts(await watched));
        Assert.Equal([$"tcp:127.0.0.1:{port}: connected"], said);
    }

    [Fact]
    public async Task Lines_of_a_serial_adapter_over_tcp()
    {
        byte[] slcan = Run.AsSlcan();
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        Task<SessionResult> watched = LiveWatch.RunAsync(
            new TcpSource("127.0.0.1", ((IPEndPoint)listener.LocalEndpoint).Port, new TcpOptions { EndWhenClosed = true }), Request);
        using (Socket peer = await listener.AcceptSocketAsync()) peer.Send(slcan);
        string replayed = await Run.ReplayedAsync(slcan);
        Assert.Contains("\"kind\":\"oil-starvation\"", replayed, StringComparison.Ordinal);
        Assert.Equal(replayed, CanRun.Alerts(await watched));
    }

    [Theory]
    [InlineData(double.PositiveInfinity)]
    [InlineData(500)]
    public async Task A_log_that_is_played(double pace) =>
        Assert.Equal(await Replayed.Value, CanRun.Alerts(await LiveWatch.PlayAsync(Run.Source(), pace, Request)));

    [Fact]
    public async Task Alerts_are_told_as_they_come_and_each_that_is_raised_ends()
    {
        var told = new List<AlertChange>();
        SessionResult result = await LiveWatch.PlayAsync(Run.Source(), double.PositiveInfinity, Request with { Changed = told.Add });
        int[] raised = [.. told.Where(change => change.Phase == AlertPhase.Raised).Select(change => change.Id)];
        Assert.NotEmpty(raised);
        Assert.Equal(raised.Order(), told.Where(change => change.Phase == AlertPhase.Ended).Select(change => change.Id).Order());
        Assert.Equal(result.Alerts.Length, raised.Length);
        Assert.All(told, change => Assert.True(change.At >= change.Alert.Start));
    }

    [Fact]
    public async Task What_came_before_it_is_stopped_is_judged_and_kept()
    {
        // The first half, then silence: stopping gives what a replay of that half gives.
        byte[] half = Run.Log[..(Array.LastIndexOf(Run.Log, (byte)'\n', Run.Log.Length / 2) + 1)];
        using var stop = new CancellationTokenSource();
        var source = new SourceThatGoesSilent(half, stop);
        SessionResult result = await LiveWatch.RunAsync(source, Request, stop.Token);
        Assert.Equal(await Run.ReplayedAsync(half), CanRun.Alerts(result));
    }

    [Fact]
    public async Task A_source_without_a_byte_is_said_to_be_empty()
    {
        InputException error = await Assert.ThrowsAsync<InputException>(() => LiveWatch.RunAsync(new StreamSource("-", () => Stream.Null), Request));
        Assert.StartsWith("-: ", error.Message, StringComparison.Ordinal);
    }

    /// <summary>Gives its bytes, asks to be stopped, and then waits for it.</summary>
    private sealed class SourceThatGoesSilent(byte[] bytes, CancellationTokenSource stop) : ILiveSource
    {
        public string Name => "silent";

        public void Run(ILiveInlet inlet, CancellationToken token)
        {
            inlet.Write(bytes);
            stop.Cancel();
            token.WaitHandle.WaitOne();
        }
    }
}
