using Microsoft.Extensions.Hosting;

namespace OilWatch.Console.Hosting;

/// <summary>Runs one verb and then stops the host.</summary>
internal sealed class VerbService(
    IVerb verb, ExitStatus exit, Surroundings around, IHostApplicationLifetime lifetime) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            exit.Code = await verb.RunAsync(stoppingToken);
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            exit.Code = ExitCodes.Interrupted;
        }
        catch (UsageException misuse)
        {
            foreach (string problem in misuse.Problems) around.Say(problem);
            exit.Code = ExitCodes.Usage;
        }
        catch (Exception error)
        {
            around.Say(Failures.Unexpected(error));
            exit.Code = ExitCodes.NothingRead;
        }
        finally
        {
            lifetime.StopApplication();         // a host does not stop by itself
        }
    }
}
