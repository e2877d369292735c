using System.Collections.Immutable;
using System.Reactive.Linq;
using OilWatch.Frames;

namespace OilWatch.Vibration;

/// <summary>The vibration-growth detector as an operator.</summary>
public static class DetectVibrationGrowthOperator
{
    /// <summary>Finds rises of the vibration level above what is healthy at the same engine speed.</summary>
    /// <param name="frames">Frames in order of time.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <param name="baseline">Healthy levels learned before; empty or default to learn them from the run's first minutes.</param>
    /// <returns>Raised, escalated and ended rises; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<VibrationChange> DetectVibrationGrowth(
        this IObservable<EngineFrame> frames, VibrationOptions? options = null, ImmutableArray<HealthyLevel> baseline = default)
    {
        ArgumentNullException.ThrowIfNull(frames);
        options ??= VibrationOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));

        return Observable.Create<VibrationChange>(observer =>
        {
            var state = new VibrationGrowthState(options, baseline);        // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    if (state.Step(in frame, out VibrationChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    if (state.Finish(out VibrationChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
