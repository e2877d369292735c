namespace OilWatch.Mqtt.Linking;

/// <summary>The broker is away, or does not want what it is given.</summary>
/// <param name="message">What happened, and what would be right, without the broker's name.</param>
/// <param name="inner">What it came from.</param>
internal sealed class BrokerException(string message, Exception? inner = null) : Exception(message, inner)
{
    /// <summary>True when the message will never be taken, however often it is sent.</summary>
    public bool IsForGood { get; init; }
}
