namespace OilWatch.Live.Sources;

/// <summary>How long to wait before the next try: twice as long each time, up to a limit.</summary>
internal sealed class BackOff(TimeProvider time)
{
    private static readonly TimeSpan Shortest = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);
    private TimeSpan _next = Shortest;

    /// <summary>It works again.</summary>
    public void Reset() => _next = Shortest;

    /// <summary>How long the next wait will be.</summary>
    public TimeSpan Next => _next;

    /// <summary>Waits.</summary>
    /// <returns>False when it was stopped.</returns>
    public bool Wait(CancellationToken stop)
    {
        TimeSpan wait = _next;
        _next = _next * 2 < Longest ? _next * 2 : Longest;
        using var over = new ManualResetEventSlim();
        using ITimer timer = time.CreateTimer(static state => ((ManualResetEventSlim)state!).Set(), over, wait, Timeout.InfiniteTimeSpan);
        try
        {
            over.Wait(stop);
            return true;
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }
}
