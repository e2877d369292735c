using OilWatch.Live;
using OilWatch.Mqtt;
using OilWatch.Mqtt.Spooling;

namespace OilWatch.Console.Verbs;

/// <summary>Begins to tell a broker what a watch finds.</summary>
internal static class MqttStart
{
    // The host gives an interrupted verb 5 s, and the results are still to be written.
    private static readonly TimeSpan Farewell = TimeSpan.FromSeconds(1.5);

    /// <summary>Begins to connect; does not wait for it.</summary>
    /// <param name="settings">What was asked for; null for no broker.</param>
    /// <param name="carName">The car's name, or null.</param>
    /// <param name="results">The folder for results, or null.</param>
    /// <param name="said">Told when the broker is away and when it is back.</param>
    /// <returns>The publisher, or null.</returns>
    public static MqttPublisher? Open(MqttSettings? settings, string? carName, string? results, Action<LiveNotice> said)
    {
        if (settings is null) return null;
        string? folder = settings.Spool ?? results;
        return new MqttPublisher(settings.Options with { Car = carName ?? "car", Farewell = Farewell }, said, folder is null ? null : new SpoolFolder(folder));
    }
}
