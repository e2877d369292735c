using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Analysis;

/// <summary>One way through the frames: guard, load, then whatever stages follow; frames and faults come out as observables.</summary>
/// <remarks>
/// The stages before the observables are direct calls in a fixed order, so that live and replay cannot differ. Where nothing waits for the answer they are
/// shared out between two threads: what a frame is (guard, load, expectation) on the caller's, what follows from it on a worker.
/// </remarks>
internal sealed class FramePass : IFrameSink, IDisposable
{
    private readonly Subject<EngineFrame> _frames = new();
    private readonly Subject<SensorFault> _faults = new();
    private readonly FrameStage _expectation;
    private readonly FrameStage _stage;
    private readonly FrameRelay? _relay;
    private LoadFilter _load;

    /// <param name="guard">Masks what is not to be believed.</param>
    /// <param name="expectation">Fills in what is expected: of the frame and those before it only.</param>
    /// <param name="stage">Fills in the rest of the frame: laps; and keeps what is to be kept.</param>
    /// <param name="inTwoThreads">True to let a worker do what follows the expectation; then only after <see cref="Drain"/> is everything done.</param>
    public FramePass(SensorGuard guard, FrameStage expectation, FrameStage stage, bool inTwoThreads)
    {
        Guard = guard;
        _expectation = expectation;
        _stage = stage;
        if (inTwoThreads) _relay = new FrameRelay(Follow);
    }

    /// <summary>Fills in a part of a frame.</summary>
    public delegate void FrameStage(ref EngineFrame frame);

    /// <summary>The guard in use.</summary>
    public SensorGuard Guard { get; }

    /// <summary>Frames with everything filled in.</summary>
    public IObservable<EngineFrame> Frames => _frames;

    /// <summary>Sensor faults as they are raised and ended.</summary>
    public IObservable<SensorFault> Faults => _faults;

    public void OnFrame(in EngineFrame frame)
    {
        if (_relay is { } relay)
        {
            ref EngineFrame next = ref relay.Next;
            next = frame;
            Fill(ref next);
            relay.Send(in Guard.Changes);
            return;
        }
        EngineFrame filled = frame;
        Fill(ref filled);
        _stage(ref filled);
        GiveFaults();
        _frames.OnNext(filled);
    }

    /// <summary>Waits until everything so far is done.</summary>
    public void Drain() => _relay?.Complete();

    /// <summary>The log is over.</summary>
    public void Complete()
    {
        Drain();
        Guard.Finish();
        GiveFaults();
        _faults.OnCompleted();
        _frames.OnCompleted();
    }

    public void Dispose()
    {
        _relay?.Dispose();
        _frames.Dispose();
        _faults.Dispose();
    }

    private void Fill(ref EngineFrame frame)
    {
        Guard.Apply(ref frame);
        _load.Apply(ref frame);
        _expectation(ref frame);
    }

    private void Follow(ref EngineFrame frame, ReadOnlySpan<SensorFault> faults)
    {
        _stage(ref frame);
        foreach (ref readonly SensorFault fault in faults) _faults.OnNext(fault);
        _frames.OnNext(frame);
    }

    private void GiveFaults()
    {
        ref readonly FaultChanges changes = ref Guard.Changes;
        for (int i = 0; i < changes.Count; i++) _faults.OnNext(changes[i]);
    }
}
