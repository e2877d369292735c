using System.Runtime.InteropServices;
using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Analysis;

/// <summary>Hands frames, and the faults found in them, from the thread that makes them to a worker.</summary>
internal sealed class FrameRelay : IDisposable
{
    private const int BatchFrames = 512;
    private readonly BatchRing<Batch> _ring;
    private readonly Receiver _receiver;

    /// <param name="receiver">Takes each frame, on the worker.</param>
    public FrameRelay(Receiver receiver)
    {
        _receiver = receiver;
        _ring = new BatchRing<Batch>(() => new Batch(), Give, "judging the frames failed");
    }

    /// <summary>Takes a frame and the faults that begin or end with it. The frame is the worker's to change.</summary>
    public delegate void Receiver(ref EngineFrame frame, ReadOnlySpan<SensorFault> faults);

    /// <summary>The place for the next frame: fill it, then send it.</summary>
    public ref EngineFrame Next => ref _ring.Making.Frames[_ring.Making.Count];

    /// <summary>Sends the frame that was filled in.</summary>
    /// <param name="changes">Faults that began or ended with it.</param>
    public void Send(in FaultChanges changes)
    {
        for (int i = 0; i < changes.Count; i++) _ring.Making.Faults.Add(changes[i]);
        Send();
    }

    /// <summary>Sends the frame that was filled in, in which no fault began or ended.</summary>
    public void Send()
    {
        Batch making = _ring.Making;
        making.FaultsUntil[making.Count++] = making.Faults.Count;
        if (making.Count == BatchFrames) _ring.Pass();
    }

    /// <summary>Waits until the worker has taken everything.</summary>
    /// <exception cref="InvalidOperationException">The worker failed; the cause is inside.</exception>
    public void Complete() => _ring.Complete();

    public void Dispose() => _ring.Dispose();

    private void Give(Batch batch)
    {
        ReadOnlySpan<SensorFault> faults = CollectionsMarshal.AsSpan(batch.Faults);
        int from = 0;
        for (int i = 0; i < batch.Count; i++)
        {
            int until = batch.FaultsUntil[i];
            _receiver(ref batch.Frames[i], faults[from..until]);
            from = until;
        }
    }

    private sealed class Batch : IBatch
    {
        public readonly EngineFrame[] Frames = new EngineFrame[BatchFrames];
        public readonly int[] FaultsUntil = new int[BatchFrames];
        public readonly List<SensorFault> Faults = [];

        public int Count { get; set; }

        public void Clear()
        {
            Count = 0;
            Faults.Clear();
        }
    }
}
