using System.Security.Cryptography.X509Certificates;

namespace OilWatch.Mqtt;

/// <summary>Which broker is told, under which topics, and what is kept while it is away.</summary>
/// <remarks>Its text never shows the password.</remarks>
public sealed record MqttOptions
{
    /// <summary>The first level of every topic where nothing else is asked for.</summary>
    public const string UsualPrefix = "oilwatch";

    internal const int LeastPayloadBytes = 16 * 1024, MostPayloadBytes = 1024 * 1024;
    internal const long LeastSpoolBytes = 64 * 1024, MostSpoolBytes = 64L * 1024 * 1024;
    private static readonly TimeSpan LongestKeepAlive = TimeSpan.FromSeconds(ushort.MaxValue);

    /// <summary>Name or address of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>1 to 65535. Default 1883; 8883 is usual with TLS.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>True to speak TLS.</summary>
    public bool UseTls { get; init; }

    /// <summary>Certificate authorities that are trusted in place of the system's; null for the system's.</summary>
    public X509Certificate2Collection? TrustedRoots { get; init; }

    /// <summary>User name, or null.</summary>
    public string? User { get; init; }

    /// <summary>Password, or null. Never shown.</summary>
    public string? Password { get; init; }

    /// <summary>The first level, or levels, of every topic. Default <c>oilwatch</c>.</summary>
    public string Prefix { get; init; } = UsualPrefix;

    /// <summary>The car, the level after the prefix; what a topic cannot hold is replaced. Default <c>car</c>.</summary>
    public string Car { get; init; } = "car";

    /// <summary>The name by which the broker knows this client, 1 to 128 characters; null for <c>oilwatch-CAR</c>.</summary>
    /// <remarks>
    /// The same at every start on purpose: a broker that still holds the connection of a program that died ends it, and says its last will, before the new one is welcomed and says
    /// <c>online</c>. Two programs with one name push each other out.
    /// </remarks>
    public string? ClientId { get; init; }

    /// <summary>How often a quiet connection is probed, 1 s to 65,535 s. Default 10 s: a broker that is gone without a word is noticed, and says so of this client, within 15 s.</summary>
    public TimeSpan KeepAlive { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>The longest wait for the broker to answer, 0.1 s to 60 s. Default 10 s.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>How long a broker keeps an alert or a lap for a subscriber that is away, 1 s to 365 days. Default 24 h.</summary>
    public TimeSpan Expiry { get; init; } = TimeSpan.FromHours(24);

    /// <summary>The largest payload, 16 KiB to 1 MiB. Default 64 KiB. An alert that is larger loses its evidence and advice; what stands is cut to the gravest.</summary>
    public int MaxPayloadBytes { get; init; } = 64 * 1024;

    /// <summary>Alerts and laps kept while the broker is away, bytes on disk, 64 KiB to 64 MiB. Default 16 MiB: some ten thousand steps of alerts.</summary>
    public long SpoolBytes { get; init; } = 16L * 1024 * 1024;

    /// <summary>How long the end may be held up by what is still to be sent, 0 to 60 s. Default 3 s.</summary>
    public TimeSpan Farewell { get; init; } = TimeSpan.FromSeconds(3);

    /// <summary>The broker as it is called in messages, such as <c>mqtt://192.0.2.1:1883</c>.</summary>
    public string Name
    {
        get
        {
            string host = Host.Contains(':', StringComparison.Ordinal) ? $"[{Host}]" : Host;
            return FormattableString.Invariant($"{(UseTls ? "mqtts" : "mqtt")}://{host}:{Port}");
        }
    }

    /// <summary>Every problem at once, in the words of the properties; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        if (string.IsNullOrWhiteSpace(Host)) yield return "Host: a name or address is needed";
        if (Port is not (>= 1 and <= 65_535)) yield return FormattableString.Invariant($"Port = {Port} is out of range; 1 to 65535 is allowed");
        if (!TopicNames.IsPrefix(Prefix)) yield return $"Prefix: {TopicNames.PrefixRule}";
        if (Car is null) yield return "Car: a name is needed";
        if (ClientId is { } id && (id.Length is 0 or > 128 || !TopicNames.IsText(id))) yield return "ClientId: 1 to 128 characters are allowed, no control characters";
        if (Password is not null && User is null) yield return "Password: a user is needed with it";
        if (KeepAlive < TimeSpan.FromSeconds(1) || KeepAlive > LongestKeepAlive) yield return Seconds(nameof(KeepAlive), KeepAlive, "1 s to 65535 s");
        if (Patience < TimeSpan.FromSeconds(0.1) || Patience > TimeSpan.FromSeconds(60)) yield return Seconds(nameof(Patience), Patience, "0.1 s to 60 s");
        if (Expiry < TimeSpan.FromSeconds(1) || Expiry > TimeSpan.FromDays(365)) yield return Seconds(nameof(Expiry), Expiry, "1 s to 365 days");
        if (Farewell < TimeSpan.Zero || Farewell > TimeSpan.FromSeconds(60)) yield return Seconds(nameof(Farewell), Farewell, "0 to 60 s");
        if (MaxPayloadBytes is not (>= LeastPayloadBytes and <= MostPayloadBytes)) yield return FormattableString.Invariant($"MaxPayloadBytes = {MaxPayloadBytes} is out of range; 16384 to 1048576 is allowed");
        if (SpoolBytes is not (>= LeastSpoolBytes and <= MostSpoolBytes)) yield return FormattableString.Invariant($"SpoolBytes = {SpoolBytes} is out of range; 65536 to 67108864 is allowed");
    }

    /// <summary>The broker and the topics; never the password.</summary>
    public override string ToString() => $"{Name}/{Prefix}/{TopicNames.Level(Car)}";

    private static string Seconds(string name, TimeSpan value, string allowed) =>
        FormattableString.Invariant($"{name} = {value.TotalSeconds} s is out of range; {allowed} is allowed");
}
