using System.Reactive.Linq;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The oil-temperature detector as an operator.</summary>
public static class DetectOilTemperatureOperator
{
    /// <summary>Finds oil too hot, and high engine speed with cold oil.</summary>
    /// <param name="frames">Frames in order of time.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <returns>Raised, escalated and ended events, one open at a time; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<OilTemperatureChange> DetectOilTemperature(this IObservable<EngineFrame> frames, OilTemperatureOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        options ??= OilTemperatureOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));

        return Observable.Create<OilTemperatureChange>(observer =>
        {
            var state = new OilTemperatureState(options);           // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    if (state.Step(in frame, out OilTemperatureChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    if (state.Finish(out OilTemperatureChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
