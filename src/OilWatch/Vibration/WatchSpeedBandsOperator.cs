using System.Collections.Immutable;
using System.Reactive.Linq;
using OilWatch.Cars;
using OilWatch.Frames;

namespace OilWatch.Vibration;

/// <summary>The engine-speed bands as an operator.</summary>
public static class WatchSpeedBandsOperator
{
    /// <summary>Calls stays in engine-speed bands that are longer than allowed.</summary>
    /// <param name="frames">Frames in order of time.</param>
    /// <param name="bands">Bands of the car file; only those of engine speed are watched here.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <returns>Raised, escalated and ended stays; one that is open when the frames end is ended before completion.</returns>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public static IObservable<BandStayChange> WatchSpeedBands(
        this IObservable<EngineFrame> frames, ImmutableArray<Band> bands, SpeedBandOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        _ = new BandDwell(bands, options);                        // throws now, not when somebody subscribes
        return Observable.Create<BandStayChange>(observer =>
        {
            var dwell = new BandDwell(bands, options);              // one a subscription
            return frames.Subscribe(new FrameObserver(
                (in frame) =>
                {
                    dwell.Step(in frame);
                    while (dwell.TryTake(out BandStayChange change)) observer.OnNext(change);
                },
                observer.OnError,
                () =>
                {
                    dwell.Finish();
                    while (dwell.TryTake(out BandStayChange change)) observer.OnNext(change);
                    observer.OnCompleted();
                }));
        });
    }
}
