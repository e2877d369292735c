namespace OilWatch.Frames;

/// <summary>Hands frames to a state machine by reference: a frame is large, and every step from hand to hand by value copies it.</summary>
/// <param name="step">Takes each frame.</param>
/// <param name="failed">Takes the error that ends them.</param>
/// <param name="completed">Told when they end.</param>
internal sealed class FrameObserver(FrameObserver.FrameStep step, Action<Exception> failed, Action completed) : IObserver<EngineFrame>
{
    /// <summary>Takes a frame.</summary>
    public delegate void FrameStep(in EngineFrame frame);

    public void OnNext(EngineFrame value) => step(in value);

    public void OnError(Exception error) => failed(error);

    public void OnCompleted() => completed();
}
