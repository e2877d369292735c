namespace OilWatch.Tests.Reading;

/// <summary>Runs what only waits for memory, so that property tests can stay synchronous.</summary>
internal static class AtOnce
{
    /// <summary>The result; the task never leaves this thread when its streams are in memory.</summary>
    public static T Wait<T>(ValueTask<T> task) => task.AsTask().GetAwaiter().GetResult();
}
