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

        await GiveAsync(pair, slcan);
        Assert.True(SpinWait.SpinUntil(() => tap.Count == slcan.Length, TimeSpan.FromSeconds(60)));
        await stop.CancelAsync();
        Assert.Equal(await run.ReplayedAsync(slcan), CanRun.Alerts(await watched.WaitAsync(TimeSpan.FromSeconds(60))));
    }

    [Fact]
    public async Task An_adapter_that_is_unplugged_and_plugged_in_again_goes_on_where_it_was()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "pseudo-terminals are opened here as Linux does");
        CanRun run = CanRun.Of("wet-left", 16, laps: 1);
        byte[] slcan = run.AsSlcan();
        int half = Array.IndexOf(slcan, (byte)'\r', slcan.Length / 2) + 1;
        DirectoryInfo folder = Directory.CreateTempSubdirectory("oilwatch-serial-");
        string device = Path.Combine(folder.FullName, "adapter");
        using var stop = new CancellationTokenSource();
        var tap = new CountingTap();
        var said = new List<string>();
        try
        {
            Task<SessionResult> watched;
            using (PseudoTerminal first = PseudoTerminal.Open() ?? throw new IOException("no pseudo-terminal could be opened"))
            {
                File.CreateSymbolicLink(device, first.Device);
                watched = LiveWatch.RunAsync(
                    new SerialSource(device), new LiveRequest { Readers = run.Readers, Tap = tap, Said = notice => { lock (said) said.Add(notice.Text); } }, stop.Token);
                await GiveAsync(first, slcan.AsMemory(0, half));
                Assert.True(SpinWait.SpinUntil(() => tap.Count == half, TimeSpan.FromSeconds(60)));
                File.Delete(device);
            }
            Assert.True(SpinWait.SpinUntil(() => { lock (said) return said.Exists(text => text.Contains("trying on", StringComparison.Ordinal)); }, TimeSpan.FromSeconds(30)));

            using PseudoTerminal second = PseudoTerminal.Open() ?? throw new IOException("no pseudo-terminal could be opened");
            File.CreateSymbolicLink(device, second.Device);
            await GiveAsync(second, slcan.AsMemory(half));
            Assert.True(SpinWait.SpinUntil(() => tap.Count == slcan.Length, TimeSpan.FromSeconds(60)));
            await stop.CancelAsync();
            Assert.Equal(await run.ReplayedAsync(slcan), CanRun.Alerts(await watched.WaitAsync(TimeSpan.FromSeconds(60))));
        }
        finally
        {
            await stop.CancelAsync();
            folder.Delete(recursive: true);
        }
    }

    /// <summary>As an adapter does: it is told how to open the bus, then it sends.</summary>
    private static async Task GiveAsync(PseudoTerminal pair, ReadOnlyMemory<byte> bytes)
    {
        var commands = new byte[SerialOptions.Default.OpenCommands.Length];
        await Task.Run(() => pair.Adapter.ReadExactly(commands)).WaitAsync(TimeSpan.FromSeconds(30));
        Assert.Equal(SerialOptions.Default.OpenCommands, Encoding.ASCII.GetString(commands));
        await Task.Run(() => pair.Adapter.Write(bytes.Span)).WaitAsync(TimeSpan.FromSeconds(60));
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
