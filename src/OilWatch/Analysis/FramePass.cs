using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Analysis;

/// <summary>One way through the frames: guard, load, then whatever stages follow; frames and faults come out as observables.</summary>
/// <remarks>The stages before the observables are direct calls in a fixed order, so that live and replay cannot differ.</remarks>
internal sealed class FramePass : IFrameSink, IDisposable
{
    private readonly Subject<EngineFrame> _frames = new();
    private readonly Subject<SensorFault> _faults = new();
    private readonly FrameStage _stage;
    private LoadFilter _load;

    /// <param name="guard">Masks what is not to be believed.</param>
    /// <param name="stage">Fills in the rest of the frame: laps, expectation.</param>
    public FramePass(SensorGuard guard, FrameStage stage)
    {
        Guard = guard;
        _stage = stage;
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
        EngineFrame filled = frame;
        Guard.Apply(ref filled);
        _load.Apply(ref filled);
        _stage(ref filled);
        GiveFaults();
        _frames.OnNext(filled);
    }

    /// <summary>The log is over.</summary>
    public void Complete()
    {
        Guard.Finish();
        GiveFaults();
        _faults.OnCompleted();
        _frames.OnCompleted();
    }

    public void Dispose()
    {
        _frames.Dispose();
        _faults.Dispose();
    }

    private void GiveFaults()
    {
        ref readonly FaultChanges changes = ref Guard.Changes;
        for (int i = 0; i < changes.Count; i++) _faults.OnNext(changes[i]);
    }
}
