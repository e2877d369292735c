using System.Reactive.Linq;
using OilWatch.Frames;

namespace OilWatch.Crankcase;

/// <summary>The crankcase detector as an operator.</summary>
public static class DetectCrankcaseOperator
{
    /// <summary>Finds lost crankcase vacuum, pressure under load and vacuum that is too deep.</summary>
    /// <param name="frames">Frames in order of time, with <see cref="EngineFrame.ExpectedCrankcaseKpa"/> filled in where it is known.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <returns>Raised, escalated and ended events, one open at a time; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<CrankcaseChange> DetectCrankcaseEvents(this IObservable<EngineFrame> frames, CrankcaseOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        options ??= CrankcaseOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));

        return Observable.Create<CrankcaseChange>(observer =>
        {
            var state = new CrankcaseState(options);           // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    if (state.Step(in frame, out CrankcaseChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    if (state.Finish(out CrankcaseChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
