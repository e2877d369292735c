using Microsoft.Extensions.Hosting;
using OilWatch.Alerts;

namespace OilWatch.SampleWorker;

/// <summary>Prints each alert: the place to turn on a lamp.</summary>
internal sealed class AlertPrinter(IObservable<Alert> alerts) : IHostedService, IDisposable
{
    private IDisposable? _listening;

    public Task StartAsync(CancellationToken cancellationToken)
    {
        _listening = alerts.Subscribe(alert => Console.WriteLine($"{alert.Severity.Word()}: {alert.Message}"), error => Console.Error.WriteLine(error.Message));
        return Task.CompletedTask;
    }

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public void Dispose() => _listening?.Dispose();
}
