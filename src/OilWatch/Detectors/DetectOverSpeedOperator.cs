using System.Reactive.Linq;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The over-speed detector as an operator.</summary>
public static class DetectOverSpeedOperator
{
    /// <summary>Finds engine speeds above the limit.</summary>
    /// <param name="frames">Frames in order of time.</param>
    /// <param name="options">Thresholds; the defaults when null. Where <see cref="OverSpeedOptions.Rpm"/> is 0 nothing is judged: put the redline there.</param>
    /// <returns>Raised, escalated and ended events, one open at a time; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<OverSpeedChange> DetectOverSpeed(this IObservable<EngineFrame> frames, OverSpeedOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        options ??= OverSpeedOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));

        return Observable.Create<OverSpeedChange>(observer =>
        {
            var state = new OverSpeedState(options);           // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    if (state.Step(in frame, out OverSpeedChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    if (state.Finish(out OverSpeedChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
