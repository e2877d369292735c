using System.Net;
using System.Net.Sockets;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Live.Sources;

namespace OilWatch.Live.Tests;

public sealed class SourcesTests
{
    [Theory]
    // id with flags, length, data; layout of struct can_frame: linux/can.h (check-values 4.3). FD flags and error frames as candump -L writes them.
    [InlineData(0x123u, false, 0, "1122334455667788", "(1.000042) can0 123#1122334455667788\n")]
    [InlineData(0x8CF00400u, false, 0, "F07D859B0FFFFF85", "(1.000042) can0 0CF00400#F07D859B0FFFFF85\n")]
    [InlineData(0x40000123u, false, 0, "", "(1.000042) can0 123#R0\n")]
    [InlineData(0x20000004u, false, 0, "0001000000000000", "(1.000042) can0 20000004#0001000000000000\n")]
    [InlineData(0x123u, true, 1, "112233445566778899AABBCC", "(1.000042) can0 123##1112233445566778899AABBCC\n")]
    public void A_frame_of_a_socket_becomes_a_line_of_a_log(uint id, bool fd, byte flags, string data, string line)
    {
        Span<byte> to = stackalloc byte[CanFrameText.MaxLineBytes];
        int count = CanFrameText.Write(Frame(id, fd, flags, Convert.FromHexString(data)), 1_000_042, "can0", to);
        Assert.Equal(line, Encoding.ASCII.GetString(to[..count]));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(15)]
    [InlineData(17)]
    public void What_is_no_frame_gives_no_line(int length)
    {
        Assert.Equal(0, CanFrameText.Write(new byte[length], 0, "can0", new byte[CanFrameText.MaxLineBytes]));
        byte[] tooLong = new byte[CanFrameText.ClassicBytes];
        tooLong[4] = 9;
        Assert.Equal(0, CanFrameText.Write(tooLong, 0, "can0", new byte[CanFrameText.MaxLineBytes]));
    }

    [Fact]
    public async Task Frames_from_a_socket_reach_the_inlet_in_order()
    {
        // No CAN in the kernel at hand: the same frames over a local datagram socket.
        string path = Path.Combine(Directory.CreateTempSubdirectory("oilwatch-").FullName, "can");
        using var receiver = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
        receiver.Bind(new UnixDomainSocketEndPoint(path));
        using var sender = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
        sender.Connect(new UnixDomainSocketEndPoint(path));
        using var stop = new CancellationTokenSource();
        var inlet = new Gathering();
        Task run = Task.Run(() => new CanSocketSource("can0", time: null, () => receiver).Run(inlet, stop.Token));
        for (byte i = 0; i < 100; i++) sender.Send(Frame(0x100u + i, fd: false, 0, [i]));
        Assert.True(SpinWait.SpinUntil(() => inlet.Text.Count(c => c == '\n') == 100, TimeSpan.FromSeconds(20)));
        await stop.CancelAsync();
        await run.WaitAsync(TimeSpan.FromSeconds(20));
        string[] lines = inlet.Text.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(Enumerable.Range(0, 100).Select(i => FormattableString.Invariant($"can0 {0x100 + i:X3}#{i:X2}")), lines.Select(line => line[(line.IndexOf(')', StringComparison.Ordinal) + 2)..]), StringComparer.Ordinal);
    }

    [Fact]
    public async Task A_connection_that_breaks_in_a_line_is_made_again_and_the_line_is_ended()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        int port = ((IPEndPoint)listener.LocalEndpoint).Port;
        using var stop = new CancellationTokenSource();
        var inlet = new Gathering();
        Task run = Task.Run(() => new TcpSource("127.0.0.1", port).Run(inlet, stop.Token));
        using (Socket first = await listener.AcceptSocketAsync()) first.Send("one\ntw"u8);
        using (Socket second = await listener.AcceptSocketAsync())
        {
            second.Send("three\n"u8);
            Assert.True(SpinWait.SpinUntil(() => inlet.Text.EndsWith("three\n", StringComparison.Ordinal), TimeSpan.FromSeconds(20)));
        }
        await stop.CancelAsync();
        await run.WaitAsync(TimeSpan.FromSeconds(20));
        Assert.Equal("one\ntw\nthree\n", inlet.Text);
        Assert.Equal(
            [$"tcp:127.0.0.1:{port}: connected", $"tcp:127.0.0.1:{port}: the other end closed the connection; no data until it is connected again, trying on", $"tcp:127.0.0.1:{port}: connected"],
            inlet.Said.Take(3), StringComparer.Ordinal);
    }

    [Fact]
    public async Task A_peer_that_goes_silent_is_said_and_then_left_for_a_new_connection()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        int port = ((IPEndPoint)listener.LocalEndpoint).Port;
        using var stop = new CancellationTokenSource();
        var inlet = new Gathering();
        var options = new TcpOptions { SilenceNotice = TimeSpan.FromMilliseconds(50), LongestSilence = TimeSpan.FromMilliseconds(100) };
        Task run = Task.Run(() => new TcpSource("127.0.0.1", port, options).Run(inlet, stop.Token));
        using Socket stalled = await listener.AcceptSocketAsync();
        using Socket again = await listener.AcceptSocketAsync().WaitAsync(TimeSpan.FromSeconds(20));
        await stop.CancelAsync();
        await run.WaitAsync(TimeSpan.FromSeconds(20));
        Assert.Equal($"tcp:127.0.0.1:{port}: nothing has come for 0.1 s; the engine cannot be judged meanwhile", inlet.Said[1]);
        Assert.Equal($"tcp:127.0.0.1:{port}: nothing came for 0.1 s, so the connection is taken for lost; no data until it is connected again, trying on", inlet.Said[2]);
    }

    [Fact]
    public void Under_a_flood_the_oldest_bytes_go_to_the_end_of_a_line_and_a_mark_stands_in_their_place()
    {
        using var buffer = new LiveBuffer(1024);
        buffer.Release("\nGAP\n"u8);
        for (int i = 0; i < 1000; i++) buffer.Write(Encoding.ASCII.GetBytes(FormattableString.Invariant($"line {i:D4}\n")));
        buffer.End();
        using var reader = new StreamReader(buffer.Open());
        string[] lines = reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal("GAP", lines[0]);
        int first = 1000 - (lines.Length - 1);
        Assert.Equal(Enumerable.Range(first, lines.Length - 1).Select(i => FormattableString.Invariant($"line {i:D4}")), lines[1..], StringComparer.Ordinal);
        Assert.InRange(lines.Length, 80, 103);
        Assert.Equal(10 * first, buffer.Dropped);
    }

    [Fact]
    public void The_beginning_can_be_looked_at_again_until_it_is_released()
    {
        using var buffer = new LiveBuffer(1024);
        buffer.Write("abcdef"u8);
        buffer.End();
        for (int look = 0; look < 3; look++)
        {
            using var reader = new StreamReader(buffer.Open());
            Assert.Equal("abcdef", reader.ReadToEnd());
        }
    }

    [Fact]
    public void A_beginning_longer_than_the_buffer_ends_there_instead_of_waiting_for_ever()
    {
        using var buffer = new LiveBuffer(64);
        buffer.Write(new byte[64]);
        using Stream look = buffer.Open();
        Assert.Equal(64, look.ReadAtLeast(new byte[100], 100, throwOnEndOfStream: false));
    }

    [Theory]
    [InlineData("-", "-")]
    [InlineData("tcp:10.0.0.1:29536", "tcp:10.0.0.1:29536")]
    [InlineData("tcp:[::1]:7", "tcp:::1:7")]
    [InlineData("serial:/dev/ttyACM0", "serial:/dev/ttyACM0")]
    [InlineData("can:can0", "can:can0")]
    public void Sources_are_found_by_name(string text, string name)
    {
        (ILiveSource? source, string? problem) = LiveSources.Parse(text);
        Assert.Null(problem);
        Assert.Equal(name, source!.Name);
    }

    [Fact]
    public void An_adapter_is_opened_for_listening_only() => Assert.Equal("\rC\rS6\rZ1\rL\r", SerialOptions.OpenCommandsFor(500));

    private static byte[] Frame(uint id, bool fd, byte flags, byte[] data)
    {
        var frame = new byte[fd ? CanFrameText.FdBytes : CanFrameText.ClassicBytes];
        BitConverter.GetBytes(id).CopyTo(frame, 0);
        frame[4] = (byte)data.Length;
        frame[5] = flags;
        data.CopyTo(frame, 8);
        return frame;
    }

    /// <summary>Keeps what it is given.</summary>
    private sealed class Gathering : ILiveInlet
    {
        private readonly Lock _gate = new();
        private readonly StringBuilder _text = new();
        private readonly List<string> _said = [];

        public string Text
        {
            get { lock (_gate) return _text.ToString(); }
        }

        public string[] Said
        {
            get { lock (_gate) return [.. _said]; }
        }

        public void Write(ReadOnlySpan<byte> bytes)
        {
            lock (_gate) _text.Append(Encoding.ASCII.GetString(bytes));
        }

        public void Break()
        {
            lock (_gate) if (_text.Length > 0 && _text[^1] != '\n') _text.Append('\n');
        }

        public void Say(LiveNotice notice)
        {
            lock (_gate) _said.Add(notice.Text);
        }
    }
}
