namespace OilWatch.Live.Sources;

/// <summary>When a TCP source speaks up, and when it takes a connection for lost.</summary>
public sealed record TcpOptions
{
    /// <summary>The defaults.</summary>
    public static TcpOptions Default { get; } = new();

    /// <summary>The longest wait for a connection. Default 5 s.</summary>
    public TimeSpan ConnectTimeout { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Silence that is said aloud. Default 3 s: a bus with the ignition on is never quiet for so long.</summary>
    public TimeSpan SilenceNotice { get; init; } = TimeSpan.FromSeconds(3);

    /// <summary>Silence after which the connection is made anew. Default 20 s.</summary>
    public TimeSpan LongestSilence { get; init; } = TimeSpan.FromSeconds(20);

    /// <summary>True to be done when the other end closes the connection, instead of connecting again. Default false.</summary>
    public bool EndWhenClosed { get; init; }
}
