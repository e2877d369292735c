using System.Globalization;
using System.Net.Sockets;
using System.Text;

namespace OilWatch.Hosting;

/// <summary>Tells the service manager (systemd) how it goes, over the socket that it names: sd_notify(3), sd_watchdog_enabled(3).</summary>
/// <param name="socketPath">The socket, <c>@</c> in front for an abstract one; null where no service manager asks.</param>
/// <param name="watchdog">How long the service manager waits for a sign of life; null where it does not.</param>
internal sealed class ServiceManager(string? socketPath, TimeSpan? watchdog) : IDisposable
{
    private readonly Lock _gate = new();
    private Socket? _socket;

    /// <summary>How often a sign of life is to be given: three times within the time that the service manager waits.</summary>
    public TimeSpan? SignEvery => socketPath is null ? null : watchdog / 3;

    /// <summary>True where somebody listens.</summary>
    public bool IsThere => socketPath is not null;

    /// <summary>As the environment of this process says.</summary>
    public static ServiceManager OfProcess() => Of(Environment.GetEnvironmentVariable, Environment.ProcessId);

    /// <summary>As an environment says.</summary>
    public static ServiceManager Of(Func<string, string?> variable, int processId)
    {
        string? path = variable("NOTIFY_SOCKET");
        bool isForUs = variable("WATCHDOG_PID") is not { } pid || string.Equals(pid, processId.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal);
        bool isAsked = long.TryParse(variable("WATCHDOG_USEC"), NumberStyles.None, CultureInfo.InvariantCulture, out long us) && us is > 0 and < 86_400_000_000;
        return new ServiceManager(string.IsNullOrEmpty(path) ? null : path, isForUs && isAsked ? TimeSpan.FromMicroseconds(us) : null);
    }

    /// <summary>Says something, such as <c>READY=1</c>. Nobody may be there; that is no problem of the watch.</summary>
    public void Say(string state)
    {
        if (socketPath is null) return;
        try
        {
            lock (_gate)
            {
                _socket ??= new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified) { Blocking = false };
                _socket.SendTo(Encoding.UTF8.GetBytes(state), new UnixDomainSocketEndPoint(socketPath[0] == '@' ? '\0' + socketPath[1..] : socketPath));
            }
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException or PlatformNotSupportedException or ArgumentException)
        {
            // A service manager that takes nothing will notice by itself.
        }
    }

    public void Dispose()
    {
        lock (_gate) _socket?.Dispose();
    }
}
