namespace OilWatch.Mqtt;

/// <summary>The topics of one car.</summary>
internal sealed class MqttTopics(MqttOptions options)
{
    private readonly string _root = $"{options.Prefix}/{TopicNames.Level(options.Car)}";

    /// <summary>Retained: <c>online</c>, or <c>offline</c> once the watch has ended or died.</summary>
    public string Status => $"{_root}/status";

    /// <summary>Retained while somebody watches: the state of the engine in a word.</summary>
    public string State => $"{_root}/state";

    /// <summary>Retained while somebody watches: the alerts that stand.</summary>
    public string Standing => $"{_root}/standing";

    /// <summary>Retained while somebody watches: how the engine is, once a second.</summary>
    public string Health => $"{_root}/health";

    /// <summary>Every step of every alert.</summary>
    public string Alerts => $"{_root}/alerts";

    /// <summary>Every lap that is over.</summary>
    public string Laps => $"{_root}/laps";
}
