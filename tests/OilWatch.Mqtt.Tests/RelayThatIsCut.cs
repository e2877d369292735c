using System.Net;
using System.Net.Sockets;

namespace OilWatch.Mqtt.Tests;

/// <summary>A cable between the program and the broker, which the test pulls: connections break without a goodbye.</summary>
internal sealed class RelayThatIsCut : IDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly List<Socket> _sockets = [];
    private readonly int _target;
    private bool _isCut;

    public RelayThatIsCut(int target)
    {
        _target = target;
        _listener.Start();
        Port = ((IPEndPoint)_listener.LocalEndpoint).Port;
        _ = AcceptAsync();
    }

    public int Port { get; }

    /// <summary>Connections that were tried.</summary>
    public int Tries { get; private set; }

    /// <summary>Cuts, after so many bytes of what the program still sends; 0 at once.</summary>
    public long CutAfterBytes { get; set; } = long.MaxValue;

    public void Cut()
    {
        lock (_sockets)
        {
            _isCut = true;
            foreach (Socket socket in _sockets) socket.Close(0);            // a reset, as when the program is killed
            _sockets.Clear();
        }
    }

    public void Mend()
    {
        CutAfterBytes = long.MaxValue;
        lock (_sockets) _isCut = false;
    }

    public void Dispose()
    {
        Cut();
        _listener.Stop();
    }

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                Socket program = await _listener.AcceptSocketAsync();
                Tries++;
                var broker = new Socket(SocketType.Stream, ProtocolType.Tcp);
                lock (_sockets)
                {
                    if (_isCut)
                    {
                        program.Close(0);
                        broker.Dispose();
                        continue;
                    }
                    _sockets.AddRange([program, broker]);
                }
                _ = JoinAsync(program, broker);
            }
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            // The test is over.
        }
    }

    private async Task JoinAsync(Socket program, Socket broker)
    {
        try
        {
            await broker.ConnectAsync(IPAddress.Loopback, _target);
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            program.Close(0);                                                   // cut meanwhile, or nobody is there
            return;
        }
        await Task.WhenAll(PassAsync(program, broker, counts: true), PassAsync(broker, program, counts: false));
    }

    private async Task PassAsync(Socket from, Socket to, bool counts)
    {
        var buffer = new byte[16 * 1024];
        try
        {
            while (await from.ReceiveAsync(buffer) is > 0 and int count)
            {
                if (counts && CutAfterBytes < count)
                {
                    await to.SendAsync(buffer.AsMemory(0, (int)CutAfterBytes));
                    Cut();
                    return;
                }
                if (counts && CutAfterBytes != long.MaxValue) CutAfterBytes -= count;
                await to.SendAsync(buffer.AsMemory(0, count));
            }
            to.Shutdown(SocketShutdown.Send);
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            // It was cut.
        }
    }
}
