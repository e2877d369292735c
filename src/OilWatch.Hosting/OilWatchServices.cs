using Microsoft.Extensions.Configuration;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Options;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Live.Listening;

namespace OilWatch.Hosting;

/// <summary>Registers a watch with a host.</summary>
public static class OilWatchServices
{
    /// <summary>The name of the health check.</summary>
    public const string HealthCheckName = "oilwatch";

    /// <summary>Adds a watch that runs as long as the host does.</summary>
    /// <param name="services">The services of the host.</param>
    /// <param name="configure">Says what is watched.</param>
    /// <returns>The same services.</returns>
    /// <remarks>
    /// Gives <see cref="IObservable{T}"/> of <see cref="Alert"/>, <see cref="AlertChange"/>, <see cref="EngineHealth"/> and <see cref="LapSummary"/>, and <see cref="OilWatchStatus"/>, as singletons;
    /// a health check and metrics. Every <see cref="ILiveListener"/> that is registered is told. One watch a host.
    /// </remarks>
    public static IServiceCollection AddOilWatch(this IServiceCollection services, Action<OilWatchOptions> configure)
    {
        ArgumentNullException.ThrowIfNull(services);
        ArgumentNullException.ThrowIfNull(configure);
        services.AddOptions<OilWatchOptions>().Configure(configure).ValidateOnStart();
        return services.AddWatch();
    }

    /// <summary>Adds a watch that is described by a section of the configuration.</summary>
    /// <param name="services">The services of the host.</param>
    /// <param name="section">Such as <c>builder.Configuration.GetSection("OilWatch")</c>.</param>
    /// <param name="configure">Says more, after the section; null for nothing.</param>
    /// <returns>The same services.</returns>
    /// <remarks>As <see cref="AddOilWatch(IServiceCollection, Action{OilWatchOptions})"/>.</remarks>
    public static IServiceCollection AddOilWatch(this IServiceCollection services, IConfiguration section, Action<OilWatchOptions>? configure = null)
    {
        ArgumentNullException.ThrowIfNull(services);
        ArgumentNullException.ThrowIfNull(section);
        OptionsBuilder<OilWatchOptions> options = services.AddOptions<OilWatchOptions>().Bind(section).ValidateOnStart();
        if (configure is not null) options.Configure(configure);
        return services.AddWatch();
    }

    private static IServiceCollection AddWatch(this IServiceCollection services)
    {
        if (services.Any(service => service.ServiceType == typeof(OilWatchStatus))) throw new InvalidOperationException("AddOilWatch was called before; a host holds one watch");
        services.TryAddSingleton(TimeProvider.System);
        services.AddLogging();
        services.AddMetrics();
        services.AddSingleton<IValidateOptions<OilWatchOptions>, OilWatchValidation>();
        services.AddSingleton<OilWatchStatus>();
        services.AddSingleton<LiveFeed>();
        services.AddSingleton<IObservable<Alert>>(provider => provider.GetRequiredService<LiveFeed>().Alerts);
        services.AddSingleton<IObservable<AlertChange>>(provider => provider.GetRequiredService<LiveFeed>().Changes);
        services.AddSingleton<IObservable<EngineHealth>>(provider => provider.GetRequiredService<LiveFeed>().Health);
        services.AddSingleton<IObservable<LapSummary>>(provider => provider.GetRequiredService<LiveFeed>().Laps);
        services.AddSingleton(_ => ServiceManager.OfProcess());
        services.AddHostedService<WatchService>();
        services.AddHealthChecks().AddCheck<OilWatchHealthCheck>(HealthCheckName);
        return services;
    }
}
