using System.Globalization;
using Microsoft.Extensions.Diagnostics.HealthChecks;
using Microsoft.Extensions.Options;
using OilWatch.Mqtt;

namespace OilWatch.Hosting;

/// <summary>
/// Is the watch to be relied on? Not about the engine. Unhealthy: it has not begun, has ended, failed, its source is silent, or the recording cannot be written. Degraded: data were dropped since the last look,
/// or the broker is away.
/// </summary>
internal sealed class OilWatchHealthCheck(OilWatchStatus status, IOptions<OilWatchOptions> options) : IHealthCheck
{
    private long _dropped;

    public Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default) => Task.FromResult(Look());

    private HealthCheckResult Look()
    {
        if (status.Failure is { } failure) return HealthCheckResult.Unhealthy($"the watch failed: {failure.Message}", failure);
        if (status.IsOver) return HealthCheckResult.Unhealthy("the watch is over");
        if (!status.IsRunning) return HealthCheckResult.Unhealthy("the watch has not begun");
        double silent = options.Value.SilentAfterS;
        if (status.Heartbeat is { } heartbeat && heartbeat.Silence >= TimeSpan.FromSeconds(silent))
            return HealthCheckResult.Unhealthy(string.Create(CultureInfo.InvariantCulture, $"nothing has come from the source for {silent:0.#} s or longer"));
        if (status.Recorder is { IsFailing: true }) return HealthCheckResult.Unhealthy("the recording cannot be written");
        long before = Interlocked.Exchange(ref _dropped, status.Counts.DroppedBytes);
        if (status.Counts.DroppedBytes > before)
            return HealthCheckResult.Degraded(string.Create(CultureInfo.InvariantCulture, $"more came than could be judged: {status.Counts.DroppedBytes - before} bytes dropped since the last look"));
        if (status.Mqtt is { IsConnected: false } mqtt) return HealthCheckResult.Degraded(string.Create(CultureInfo.InvariantCulture, $"the broker is away; {mqtt.Waiting} messages wait for it"));
        return HealthCheckResult.Healthy();
    }
}
