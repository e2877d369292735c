using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Reading;

namespace OilWatch.Analysis;

/// <summary>Hands frames, and the faults found in them, from the thread that makes them to a worker, so that two parts of the way go on at once.</summary>
/// <remarks>
/// Frames come out in the order they went in, whole batches at a time; nothing that the worker does depends on when it does it, so that the answer is the same
/// on any number of cores. A ring of batches bounds the memory: the maker waits while all of them are full. What goes wrong in the worker is thrown to the maker.
/// </remarks>
internal sealed class FrameRelay : IDisposable
{
    private const int BatchFrames = 512;
    private const int Batches = 4;
    private readonly Batch[] _ring = new Batch[Batches];
    private readonly SemaphoreSlim _empty = new(Batches);
    private readonly SemaphoreSlim _full = new(0);
    private readonly Receiver _receiver;
    private readonly Task _worker;
    private Batch _making;
    private int _next;
    private bool _completed;
    private volatile bool _stopped;
    private volatile Exception? _failure;

    /// <param name="receiver">Takes each frame, on the worker.</param>
    public FrameRelay(Receiver receiver)
    {
        _receiver = receiver;
        for (int i = 0; i < Batches; i++) _ring[i] = new Batch();
        _making = Claim();
        // A thread of its own: the pool's may all be waiting for workers.
        _worker = Task.Factory.StartNew(Work, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
    }

    /// <summary>Takes a frame and the faults that begin or end with it. The frame is the worker's to change.</summary>
    public delegate void Receiver(ref EngineFrame frame, ReadOnlySpan<SensorFault> faults);

    /// <summary>The place for the next frame: fill it, then send it.</summary>
    public ref EngineFrame Next => ref _making.Frames[_making.Count];

    /// <summary>Sends the frame that was filled in.</summary>
    /// <param name="changes">Faults that began or ended with it.</param>
    public void Send(in FaultChanges changes)
    {
        for (int i = 0; i < changes.Count; i++) _making.Faults.Add(changes[i]);
        Send();
    }

    /// <summary>Sends the frame that was filled in, in which no fault began or ended.</summary>
    public void Send()
    {
        _making.FaultsUntil[_making.Count++] = _making.Faults.Count;
        if (_making.Count == BatchFrames) Pass();
    }

    /// <summary>Waits until the worker has taken everything.</summary>
    /// <exception cref="InvalidOperationException">The worker failed; the cause is inside.</exception>
    public void Complete()
    {
        if (_completed) return;
        _completed = true;
        if (_making.Count > 0) Pass();
        _making.Count = 0;                          // an empty batch is the end
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

    private void Pass()
    {
        _full.Release();
        _making = Claim();
        ThrowIfFailed();
    }

    private Batch Claim()
    {
        _empty.Wait();
        Batch batch = _ring[_next];
        _next = (_next + 1) % Batches;
        batch.Clear();
        return batch;
    }

    private void ThrowIfFailed()
    {
        if (_failure is InputException unread) throw new InputException(unread.Message, unread);     // a waveform beside the log
        if (_failure is { } failure) throw new InvalidOperationException("judging the frames failed", failure);
    }

    private void Work()
    {
        for (int i = 0; ; i = (i + 1) % Batches)
        {
            _full.Wait();
            if (_stopped) return;
            Batch batch = _ring[i];
            if (batch.Count == 0) return;
            if (_failure is null) Give(batch);
            _empty.Release();
        }
    }

    private void Give(Batch batch)
    {
#pragma warning disable CA1031 // whatever it is goes to the thread that can answer for it
        try
        {
            ReadOnlySpan<SensorFault> faults = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(batch.Faults);
            int from = 0;
            for (int i = 0; i < batch.Count; i++)
            {
                int until = batch.FaultsUntil[i];
                _receiver(ref batch.Frames[i], faults[from..until]);
                from = until;
            }
        }
        catch (Exception failure)
        {
            _failure = failure;
        }
#pragma warning restore CA1031
    }

    private sealed class Batch
    {
        public readonly EngineFrame[] Frames = new EngineFrame[BatchFrames];
        public readonly int[] FaultsUntil = new int[BatchFrames];
        public readonly List<SensorFault> Faults = [];
        public int Count;

        public void Clear()
        {
            Count = 0;
            Faults.Clear();
        }
    }
}
