using System.Reactive.Linq;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The pressure-drop detector as an operator.</summary>
public static class DetectPressureDropsOperator
{
    /// <summary>Finds falls of oil pressure below what is healthy.</summary>
    /// <param name="frames">Frames in order of time, with <see cref="EngineFrame.ExpectedKpa"/>, <see cref="EngineFrame.SpreadKpa"/> and the loads filled in.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <returns>Raised, escalated and ended drops; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<PressureDropChange> DetectPressureDrops(
        this IObservable<EngineFrame> frames, PressureDropOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        options ??= PressureDropOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));

        return Observable.Create<PressureDropChange>(observer =>
        {
            var state = new PressureDropState(options);        // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    if (state.Step(in frame, out PressureDropChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    if (state.Finish(out PressureDropChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
