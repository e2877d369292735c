using System.Diagnostics.Metrics;

namespace OilWatch.Mqtt;

/// <summary>Numbers about a publisher for whoever measures programs.</summary>
public static class MqttMetrics
{
    /// <summary>Measures a publisher.</summary>
    /// <param name="publisher">What is measured.</param>
    /// <param name="meter">Takes the instruments, such as that of <see cref="OilWatch.Live.Listening.LiveMetrics"/>.</param>
    public static void MeasuredBy(this MqttPublisher publisher, Meter meter)
    {
        ArgumentNullException.ThrowIfNull(publisher);
        ArgumentNullException.ThrowIfNull(meter);
        meter.CreateObservableGauge("oilwatch.mqtt.connected", () => publisher.IsConnected ? 1 : 0, "1", "1 while the broker is there");
        meter.CreateObservableGauge("oilwatch.mqtt.waiting", () => publisher.Waiting, "{message}", "Alerts and laps that the broker has not got yet");
        meter.CreateObservableGauge("oilwatch.mqtt.spooled", () => publisher.WaitingBytes, "By", "Bytes of them in the spool");
        meter.CreateObservableCounter("oilwatch.mqtt.sent", () => publisher.Sent, "{message}", "Alerts and laps that the broker has taken");
        meter.CreateObservableCounter("oilwatch.mqtt.left_out", () => publisher.LeftOut, "{message}", "Alerts and laps that were given up because there was no more room");
    }
}
