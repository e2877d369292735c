using System.Buffers;
using System.Text;
using MQTTnet;
using MQTTnet.Packets;

namespace OilWatch.Mqtt.Tests;

/// <summary>A message as a subscriber gets it.</summary>
internal sealed record Received(string Topic, string Payload, bool Retain, int Qos, uint ExpiryS, string? ContentType, string? Run, string? Sequence, string? At)
{
    public bool Says(string payload) => string.Equals(Payload, payload, StringComparison.Ordinal);

    public static Received Of(MqttApplicationMessage message) => new(
        message.Topic, Encoding.UTF8.GetString(message.Payload.ToArray()), message.Retain, (int)message.QualityOfServiceLevel, message.MessageExpiryInterval,
        message.ContentType, Property(message, "run"), Property(message, "sequence"), Property(message, "at"));

    private static string? Property(MqttApplicationMessage message, string name)
    {
        MqttUserProperty? property = message.UserProperties?.Find(property => string.Equals(property.Name, name, StringComparison.Ordinal));
        return property is null ? null : Encoding.UTF8.GetString(property.ValueBuffer.Span);
    }
}
