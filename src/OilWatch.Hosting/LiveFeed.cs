using System.Collections.Immutable;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Live.Listening;

namespace OilWatch.Hosting;

/// <summary>What a watch finds, as observables. Subscribers are called one after the other from a thread of the feed, never from the judging one.</summary>
/// <remarks>
/// Between the judging and the subscribers at most 4096 things wait; when a subscriber is so slow that more would, the oldest go and it is logged. A subscriber that throws is left out from then on, with a log entry.
/// Whoever subscribes hears what comes from then on; after the end, that it is over.
/// </remarks>
internal sealed class LiveFeed : ILiveListener, IDisposable
{
    public const int MostWaiting = 4096;

    private static readonly TimeSpan LongestFarewell = TimeSpan.FromSeconds(2);

    private readonly Channel<Action> _waiting;
    private readonly Thread _telling;
    private readonly ILogger _log;
    private long _leftOut;

    public LiveFeed(ILogger<LiveFeed> log)
    {
        _log = log;
        Alerts = new Feed<Alert>(log);
        Changes = new Feed<AlertChange>(log);
        Health = new Feed<EngineHealth>(log);
        Laps = new Feed<LapSummary>(log);
        _waiting = Channel.CreateBounded<Action>(
            new BoundedChannelOptions(MostWaiting) { FullMode = BoundedChannelFullMode.DropOldest, SingleReader = true },
            _ =>
            {
                if (Interlocked.Increment(ref _leftOut) == 1) Log.FeedOverrun(_log);
            });
        _telling = new Thread(Tell) { IsBackground = true, Name = "feed" };
        _telling.Start();
    }

    /// <summary>Each alert when it is raised, and again when it becomes more severe.</summary>
    public Feed<Alert> Alerts { get; }

    /// <summary>Every step of every alert.</summary>
    public Feed<AlertChange> Changes { get; }

    /// <summary>How the engine is, once a second of the log's time.</summary>
    public Feed<EngineHealth> Health { get; }

    /// <summary>Every lap that is over.</summary>
    public Feed<LapSummary> Laps { get; }

    public string Name => "feed";

    /// <summary>What subscribers were too slow for.</summary>
    public long LeftOut => Interlocked.Read(ref _leftOut);

    public void OnChange(AlertChange change) => _waiting.Writer.TryWrite(() =>
    {
        Changes.Tell(change);
        if (change.Phase != AlertPhase.Ended) Alerts.Tell(change.Alert);
    });

    public void OnHealth(EngineHealth health) => _waiting.Writer.TryWrite(() => Health.Tell(health));

    public void OnLap(LapSummary lap) => _waiting.Writer.TryWrite(() => Laps.Tell(lap));

    /// <summary>Tells everybody that it is over, and waits until they were told all, but not for one that hangs.</summary>
    /// <param name="failure">Why it failed, or null when it did not.</param>
    public void End(Exception? failure)
    {
        _waiting.Writer.TryWrite(() =>
        {
            Changes.End(failure);
            Alerts.End(failure);
            Health.End(failure);
            Laps.End(failure);
        });
        _waiting.Writer.TryComplete();
    }

    /// <summary>Waits until everybody was told all, but not for one that hangs.</summary>
    public void Wait() => _telling.Join(LongestFarewell);

    public void Dispose()
    {
        End(null);
        Wait();
    }

    private void Tell()
    {
        while (_waiting.Reader.WaitToReadAsync().AsTask().GetAwaiter().GetResult())
            while (_waiting.Reader.TryRead(out Action? tell)) tell();
    }

    /// <summary>One kind of thing.</summary>
    internal sealed class Feed<T>(ILogger log) : IObservable<T>
    {
        private readonly Lock _gate = new();
        private ImmutableArray<IObserver<T>> _observers = [];
        private (bool Over, Exception? Failure) _end;

        public IDisposable Subscribe(IObserver<T> observer)
        {
            ArgumentNullException.ThrowIfNull(observer);
            (bool Over, Exception? Failure) end;
            lock (_gate)
            {
                end = _end;
                if (!end.Over) _observers = _observers.Add(observer);
            }
            if (end.Over) TellEnd(observer, end.Failure);
            return new Subscription(() => { lock (_gate) _observers = _observers.Remove(observer); });
        }

        public void Tell(T what)
        {
            ImmutableArray<IObserver<T>> observers;
            lock (_gate) observers = _observers;
            foreach (IObserver<T> observer in observers)
            {
                try
                {
                    observer.OnNext(what);
                }
                catch (Exception error) when (error is not OutOfMemoryException)
                {
                    lock (_gate) _observers = _observers.Remove(observer);
                    Log.SubscriberFailed(log, typeof(T).Name, error);
                }
            }
        }

        public void End(Exception? failure)
        {
            ImmutableArray<IObserver<T>> observers;
            lock (_gate)
            {
                if (_end.Over) return;
                _end = (true, failure);
                (observers, _observers) = (_observers, []);
            }
            foreach (IObserver<T> observer in observers) TellEnd(observer, failure);
        }

        private void TellEnd(IObserver<T> observer, Exception? failure)
        {
            try
            {
                if (failure is null) observer.OnCompleted();
                else observer.OnError(failure);
            }
            catch (Exception error) when (error is not OutOfMemoryException)
            {
                Log.SubscriberFailed(log, typeof(T).Name, error);
            }
        }
    }

    private sealed class Subscription(Action end) : IDisposable
    {
        public void Dispose() => end();
    }
}
