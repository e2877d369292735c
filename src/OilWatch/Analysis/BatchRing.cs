using OilWatch.Reading;

namespace OilWatch.Analysis;

/// <summary>A batch of what one thread makes and another takes.</summary>
internal interface IBatch
{
    /// <summary>How much is in it; an empty one is the end.</summary>
    int Count { get; }

    /// <summary>Makes it empty.</summary>
    void Clear();
}

/// <summary>Hands batches from the thread that fills them to a worker, so that two parts of the way go on at once.</summary>
/// <remarks>
/// Batches come out in the order they went in; nothing that the worker does depends on when it does it, so that the answer is the same on any number of cores. A ring
/// bounds the memory: the maker waits while all are full. What goes wrong in the worker is thrown to the maker.
/// </remarks>
internal sealed class BatchRing<TBatch> : IDisposable
    where TBatch : class, IBatch
{
    private const int Batches = 4;
    private readonly TBatch[] _ring = new TBatch[Batches];
    private readonly SemaphoreSlim _empty = new(Batches);
    private readonly SemaphoreSlim _full = new(0);
    private readonly Action<TBatch> _take;
    private readonly string _failed;
    private readonly Task _worker;
    private int _next;
    private bool _completed;
    private volatile bool _stopped;
    private volatile Exception? _failure;

    /// <param name="make">Makes an empty batch.</param>
    /// <param name="take">Takes each batch, on the worker.</param>
    /// <param name="failed">What is said where that goes wrong.</param>
    public BatchRing(Func<TBatch> make, Action<TBatch> take, string failed)
    {
        _take = take;
        _failed = failed;
        for (int i = 0; i < Batches; i++) _ring[i] = make();
        Making = Claim();
        // A thread of its own: the pool's may all be waiting for workers.
        _worker = Task.Factory.StartNew(Work, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
    }

    /// <summary>The batch that is being filled.</summary>
    public TBatch Making { get; private set; }

    /// <summary>Passes the filled batch on and begins the next.</summary>
    public void Pass()
    {
        _full.Release();
        Making = Claim();
        ThrowIfFailed();
    }

    /// <summary>Waits until the worker has taken everything; more may follow.</summary>
    /// <exception cref="InvalidOperationException">The worker failed; the cause is inside.</exception>
    public void Drain()
    {
        if (_completed) return;
        if (Making.Count > 0) Pass();
        for (int i = 1; i < Batches; i++) _empty.Wait();
        _empty.Release(Batches - 1);
        ThrowIfFailed();
    }

    /// <summary>Waits until the worker has taken everything, and ends it.</summary>
    /// <exception cref="InvalidOperationException">The worker failed; the cause is inside.</exception>
    public void Complete()
    {
        if (_completed) return;
        _completed = true;
        if (Making.Count > 0) Pass();
        Making.Clear();                             // an empty batch is the end
        _full.Release();
        _worker.Wait();
        ThrowIfFailed();
    }

    public void Dispose()
    {
        _stopped = true;
        if (!_completed)
        {
            _completed = true;
            _full.Release();
            _worker.Wait();
        }
        _empty.Dispose();
        _full.Dispose();
    }

    private TBatch Claim()
    {
        _empty.Wait();
        TBatch batch = _ring[_next];
        _next = (_next + 1) % Batches;
        batch.Clear();
        return batch;
    }

    private void ThrowIfFailed()
    {
        if (_failure is InputException unread) throw new InputException(unread.Message, unread);     // a waveform beside the log
        if (_failure is InvalidOperationException { InnerException: { } cause } further) throw new InvalidOperationException(further.Message, cause);
        if (_failure is { } failure) throw new InvalidOperationException(_failed, failure);
    }

    private void Work()
    {
        for (int i = 0; ; i = (i + 1) % Batches)
        {
            _full.Wait();
            if (_stopped) return;
            TBatch batch = _ring[i];
            if (batch.Count == 0) return;
            if (_failure is null) Give(batch);
            _empty.Release();
        }
    }

    private void Give(TBatch batch)
    {
#pragma warning disable CA1031 // whatever it is goes to the thread that can answer for it
        try
        {
            _take(batch);
        }
        catch (Exception failure)
        {
            _failure = failure;
        }
#pragma warning restore CA1031
    }
}
