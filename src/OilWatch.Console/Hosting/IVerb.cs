namespace OilWatch.Console.Hosting;

/// <summary>What a verb does, start to end.</summary>
internal interface IVerb
{
    /// <summary>Runs it.</summary>
    /// <returns>The exit code.</returns>
    /// <exception cref="UsageException">It was called in a way that cannot work.</exception>
    Task<int> RunAsync(CancellationToken stop);
}
