using OilWatch.Reading;

namespace OilWatch.Live;

/// <summary>Passes readings on no sooner than they came when the log was made. When it is stopped it lets nothing more through.</summary>
/// <remarks>Waits are for whole stretches of at least 10 ms, so that a log of thousands of frames a second costs a hundred waits.</remarks>
internal sealed class PacedSink(IReadingSink inner, double pace, TimeProvider time, CancellationToken stop) : IReadingSink
{
    private static readonly TimeSpan Shortest = TimeSpan.FromMilliseconds(10);

    private readonly long _begun = time.GetTimestamp();
    private LogTime? _first;

    public void Add(LogTime at, int channel, double value)
    {
        if (stop.IsCancellationRequested) return;
        _first ??= at;
        TimeSpan ahead = TimeSpan.FromSeconds(at.SecondsSince(_first.Value) / pace) - time.GetElapsedTime(_begun);
        if (ahead >= Shortest && !Wait(ahead)) return;
        inner.Add(at, channel, value);
    }

    public void EndRecord(LogTime at)
    {
        if (!stop.IsCancellationRequested) inner.EndRecord(at);
    }

    public void Passed(LogTime at)
    {
        if (!stop.IsCancellationRequested) inner.Passed(at);
    }

    public void DataLost(LogTime at)
    {
        if (!stop.IsCancellationRequested) inner.DataLost(at);
    }

    public void StampedBehind(LogTime at, double seconds)
    {
        if (!stop.IsCancellationRequested) inner.StampedBehind(at, seconds);
    }

    private bool Wait(TimeSpan length)
    {
        using var over = new ManualResetEventSlim();
        using ITimer timer = time.CreateTimer(static state => ((ManualResetEventSlim)state!).Set(), over, length, Timeout.InfiniteTimeSpan);
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
