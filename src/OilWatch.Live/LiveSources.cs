using System.Globalization;
using OilWatch.Live.Sources;

namespace OilWatch.Live;

/// <summary>Sources by their names: <c>-</c>, <c>tcp:HOST:PORT</c>, <c>serial:DEVICE</c>, <c>can:INTERFACE</c>.</summary>
public static class LiveSources
{
    /// <summary>The beginning of the name of a log that is to be played.</summary>
    public const string PlayPrefix = "play:";

    /// <summary>The source of a name.</summary>
    /// <param name="name">Its name; not one that begins with <see cref="PlayPrefix"/>.</param>
    /// <param name="tcp">When a TCP connection is given up; the defaults when null.</param>
    /// <param name="serial">How a serial adapter is spoken to; the defaults when null.</param>
    /// <returns>The source, or what is wrong with the name and what would be right.</returns>
    public static (ILiveSource? Source, string? Problem) Parse(string name, TcpOptions? tcp = null, SerialOptions? serial = null)
    {
        ArgumentNullException.ThrowIfNull(name);
        int colon = name.IndexOf(':', StringComparison.Ordinal);
        string rest = name[(colon + 1)..];
        return (colon < 0 ? name : name[..colon]) switch
        {
            "-" when colon < 0 => (StreamSource.StandardInput(), null),
            "tcp" when colon > 0 => Tcp(name, rest, tcp),
            "serial" when rest.Length > 0 && colon > 0 => (new SerialSource(rest, serial), null),
            "serial" => (null, $"{name}: a device is needed, such as serial:/dev/ttyACM0"),
            "can" when colon > 0 => CanSocketSource.IsName(rest)
                ? (new CanSocketSource(rest), null)
                : (null, $"{name}: an interface is needed, such as can:can0"),
            _ => (null, $"{name}: unknown source; -, tcp:HOST:PORT, serial:DEVICE, can:INTERFACE or play:LOG is allowed"),
        };
    }

    private static (ILiveSource? Source, string? Problem) Tcp(string name, string rest, TcpOptions? options)
    {
        int colon = rest.LastIndexOf(':');
        string host = colon > 0 ? rest[..colon].Trim('[', ']') : "";
        return host.Length > 0 && int.TryParse(rest[(colon + 1)..], NumberStyles.None, CultureInfo.InvariantCulture, out int port) && port is >= 1 and <= 65_535
            ? (new TcpSource(host, port, options), null)
            : (null, $"{name}: a host and a port from 1 to 65535 are needed, such as tcp:192.168.4.1:29536");
    }
}
