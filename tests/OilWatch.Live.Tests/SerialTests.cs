using System.Text;
using OilWatch.Live.Sources;
using OilWatch.Results;

namespace OilWatch.Live.Tests;

/// <summary>A serial adapter that is a pseudo-terminal; no hardware was at hand.</summary>
public sealed class SerialTests
{
    [Fact]
    public async Task An_adapter_is_told_to_listen_and_its_lines_give_the_alerts_of_a_replay()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "pseudo-terminals are opened here as Linux does");
        using PseudoTerminal pair = PseudoTerminal.Open() ?? throw new IOException("no pseudo-terminal could be opened");
        CanRun run = CanRun.Of("wet-left", 16, laps: 1);
        byte[] slcan = run.AsSlcan();
        using var stop = new CancellationTokenSource();
        var tap = new CountingTap();
        Task<SessionResult> watched = LiveWatch.RunAsync(new SerialSource(pair.Device), new LiveRequest { Readers = run.Readers, Tap = tap }, stop.Token);

        var commands = new byte[SerialOptions.Default.OpenCommands.Length];
        await Task.Run(() => pair.Adapter.ReadExactly(commands)).WaitAsync(TimeSpan.FromSeconds(30));
        Assert.Equal(SerialOptions.Default.OpenCommands, Encoding.ASCII.GetString(commands));

        await Task.Run(() => pair.Adapter.Write(slcan)).WaitAsync(TimeSpan.FromSeconds(60));
        Assert.True(SpinWait.SpinUntil(() => tap.Count == slcan.Length, TimeSpan.FromSeconds(60)));
        await stop.CancelAsync();
        Assert.Equal(await run.ReplayedAsync(slcan), CanRun.Alerts(await watched.WaitAsync(TimeSpan.FromSeconds(60))));
    }

    [Fact]
    public async Task A_device_that_is_not_there_is_said_once_and_tried_on()
    {
        using var stop = new CancellationTokenSource();
        var said = new List<string>();
        Task<SessionResult> watched = LiveWatch.RunAsync(
            new SerialSource("/dev/oilwatch-none"), new LiveRequest { Said = notice => { lock (said) said.Add(notice.Text); } }, stop.Token);
        Assert.True(SpinWait.SpinUntil(() => { lock (said) return said.Count > 0; }, TimeSpan.FromSeconds(30)));
        await Task.Delay(600);
        await stop.CancelAsync();
        await Assert.ThrowsAsync<Reading.InputException>(() => watched);
        Assert.EndsWith("; no data until the adapter is back, trying on", Assert.Single(said), StringComparison.Ordinal);
    }

    private sealed class CountingTap : ILiveTap
    {
        private long _count;

        public long Count => Interlocked.Read(ref _count);

        public void Write(ReadOnlySpan<byte> bytes) => Interlocked.Add(ref _count, bytes.Length);

        public void Note(string text)
        {
        }
    }
}
