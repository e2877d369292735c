using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;

namespace OilWatch.Console.Hosting;

/// <summary>Runs a verb in a host, which turns Ctrl+C and SIGTERM into a cancelled token.</summary>
internal static class VerbRun
{
    // An analysis looks at its token once a block of bytes; what takes longer than this is stuck.
    private static readonly TimeSpan LongestStop = TimeSpan.FromSeconds(5);

    /// <returns>The exit code.</returns>
    public static async Task<int> RunAsync(IVerb verb, Surroundings around)
    {
        var exit = new ExitStatus();
        HostApplicationBuilder builder = Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        builder.Services
            .AddLogging()
            .Configure<HostOptions>(options => options.ShutdownTimeout = LongestStop)
            .AddSingleton(verb)
            .AddSingleton(exit)
            .AddSingleton(around)
            .AddHostedService<VerbService>();
        await builder.Build().RunAsync(around.Interrupt);
        return exit.Code;
    }
}
