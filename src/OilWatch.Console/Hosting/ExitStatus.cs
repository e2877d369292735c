namespace OilWatch.Console.Hosting;

/// <summary>The exit code of a run; outlives the host, which disposes its services.</summary>
internal sealed class ExitStatus
{
    /// <summary>Until the verb has said otherwise it was interrupted.</summary>
    public int Code { get; set; } = ExitCodes.Interrupted;
}
