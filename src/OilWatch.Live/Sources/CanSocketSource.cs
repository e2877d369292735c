using System.Globalization;
using System.Net;
using System.Net.Sockets;
using OilWatch.Alerts;

namespace OilWatch.Live.Sources;

/// <summary>A CAN interface of Linux, such as <c>can0</c>. Frames are only received, never sent.</summary>
/// <remarks>Time stamps are those of this program's reading, by the clock given. Not tested with hardware: what reads the frames is tested with frames from another socket.</remarks>
public sealed class CanSocketSource : ILiveSource
{
    // Source: linux/can.h and linux/can/raw.h.
    private const int SolCanRaw = 101, CanRawErrorFilter = 2, CanRawFdFrames = 5;

    private readonly string _interfaceName;
    private readonly TimeProvider _time;
    private readonly Func<Socket> _open;

    /// <summary>A source; nothing is opened yet.</summary>
    /// <param name="interfaceName">Letters, digits, <c>.</c>, <c>_</c> and <c>-</c>, at most 15.</param>
    /// <param name="time">Stamps the frames; the system's clock when null.</param>
    public CanSocketSource(string interfaceName, TimeProvider? time = null) : this(interfaceName, time, open: null)
    {
    }

    internal CanSocketSource(string interfaceName, TimeProvider? time, Func<Socket>? open)
    {
        ArgumentException.ThrowIfNullOrEmpty(interfaceName);
        if (!IsName(interfaceName)) throw new ArgumentException("an interface's name has up to 15 letters, digits, '.', '_' and '-'", nameof(interfaceName));
        _interfaceName = interfaceName;
        _time = time ?? TimeProvider.System;
        _open = open ?? (() => Open(interfaceName));
    }

    /// <inheritdoc/>
    public string Name => "can:" + _interfaceName;

    /// <summary>True for what an interface may be called (15 characters: linux/if.h, IFNAMSIZ).</summary>
    public static bool IsName(string name) =>
        name is { Length: > 0 and <= 15 } && name[0] != '.' && name.All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '_' or '-');

    /// <inheritdoc/>
    public void Run(ILiveInlet inlet, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(inlet);
        var backOff = new BackOff(_time);
        bool complained = false;
        while (!stop.IsCancellationRequested)
        {
            string why;
            try
            {
                using Socket socket = _open();
                using CancellationTokenRegistration registration = stop.Register(static state => ((Socket)state!).Dispose(), socket);
                inlet.Say(new LiveNotice(null, $"{Name}: listening"));
                complained = false;
                backOff.Reset();
                Receive(socket, inlet);
                why = "the interface went down";
            }
            catch (Exception error) when (error is SocketException or ObjectDisposedException or IOException or UnauthorizedAccessException)
            {
                why = error.Message.TrimEnd('.');
            }
            if (stop.IsCancellationRequested) return;
            inlet.Break();
            if (!complained) inlet.Say(new LiveNotice(Severity.Advisory, $"{Name}: {why}; trying on"));
            complained = true;
            if (!backOff.Wait(stop)) return;
        }
    }

    private void Receive(Socket socket, ILiveInlet inlet)
    {
        var frame = new byte[CanFrameText.FdBytes];
        var lines = new byte[Coalescing.BufferBytes];
        while (true)
        {
            int filled = 0;
            do
            {
                int count = socket.Receive(frame);
                if (count == 0) return;
                filled += CanFrameText.Write(frame.AsSpan(0, count), StampUs(), _interfaceName, lines.AsSpan(filled));
            }
            while (filled < lines.Length - CanFrameText.MaxLineBytes && socket.Available > 0);
            inlet.Write(lines.AsSpan(0, filled));
        }
    }

    private long StampUs() => (_time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond;

    private static Socket Open(string interfaceName)
    {
        if (!OperatingSystem.IsLinux()) throw new IOException("CAN interfaces are read on Linux only; use a serial or network adapter here");
        string index = $"/sys/class/net/{interfaceName}/ifindex";
        if (!File.Exists(index)) throw new IOException($"there is no interface {interfaceName}; bring it up with 'ip link set {interfaceName} up type can bitrate 500000'");
        int number = int.Parse(File.ReadAllText(index), CultureInfo.InvariantCulture);
        var socket = new Socket(AddressFamily.ControllerAreaNetwork, SocketType.Raw, ProtocolType.Raw);
        try
        {
            socket.SetRawSocketOption(SolCanRaw, CanRawErrorFilter, BitConverter.GetBytes(0x1FFF_FFFF));
            socket.SetRawSocketOption(SolCanRaw, CanRawFdFrames, BitConverter.GetBytes(1));
            socket.Bind(new CanEndPoint(number));
            return socket;
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>struct sockaddr_can: family, two bytes, the interface's number, an address that raw sockets do not use.</summary>
    private sealed class CanEndPoint(int interfaceIndex) : EndPoint
    {
        private const int Bytes = 24;
        private const int IndexAt = 4;

        public override AddressFamily AddressFamily => AddressFamily.ControllerAreaNetwork;

        public override SocketAddress Serialize()
        {
            var address = new SocketAddress(AddressFamily.ControllerAreaNetwork, Bytes);
            byte[] index = BitConverter.GetBytes(interfaceIndex);
            for (int i = 0; i < index.Length; i++) address[IndexAt + i] = index[i];
            return address;
        }

        public override EndPoint Create(SocketAddress socketAddress) => this;
    }
}
