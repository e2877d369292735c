using System.Collections.Immutable;
using OilWatch.Console.Text;

namespace OilWatch.Console.Verbs;

/// <summary>Works on several logs at once and answers in the order in which they were given.</summary>
internal static class LogRun
{
    /// <summary>Runs <paramref name="work"/> for each log, as many at a time as there are processors.</summary>
    /// <returns>What came of each, in order.</returns>
    public static async Task<IReadOnlyCollection<Outcome>> AllAsync(
        ImmutableArray<string> logs, Surroundings around, ProgressBar progress,
        Func<int, CancellationToken, Task<Outcome>> work, CancellationToken stop)
    {
        using var places = new SemaphoreSlim(Environment.ProcessorCount);
        Task<Outcome>[] running = [.. logs.Select((_, index) => Task.Run(() => OneAsync(index), CancellationToken.None))];
        var outcomes = new List<Outcome>();
        foreach (Task<Outcome> one in running)
        {
            Outcome outcome = await one;
            outcomes.Add(outcome);
            progress.Around(() => Show(outcome, around));
        }
        return outcomes;

        async Task<Outcome> OneAsync(int index)
        {
            try
            {
                await places.WaitAsync(stop);
                try
                {
                    return await work(index, stop);
                }
                finally
                {
                    progress.Finished(index);
                    places.Release();
                }
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return new Outcome { Interrupted = true, Problems = [$"{logs[index]}: interrupted before it was done"] };
            }
            catch (Exception error)
            {
                return new Outcome { Problems = [Failures.Reading(logs[index], error)] };
            }
        }
    }

    private static void Show(Outcome outcome, Surroundings around)
    {
        foreach (string problem in outcome.Problems) around.Say(problem);
        around.Out.Write(outcome.Answer);
    }
}
