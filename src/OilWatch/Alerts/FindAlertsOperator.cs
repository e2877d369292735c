using System.Reactive.Linq;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Vibration;

namespace OilWatch.Alerts;

/// <summary>The composition of the detectors: the architecture in one sentence of code.</summary>
public static class FindAlertsOperator
{
    /// <summary>Finds every alert in a stream of judged frames.</summary>
    /// <param name="frames">Frames in order of time, with expectation and loads filled in.</param>
    /// <param name="faults">Sensor faults as the guard finds them.</param>
    /// <param name="options">Thresholds.</param>
    /// <param name="placeOf">Where on the circuit something began: asked again at each step of an alert's life.</param>
    /// <param name="loadKnown">False when the log has no acceleration channel.</param>
    /// <param name="waveform">Rises that a raw waveform shows, which take the place of those of a level channel; null without a waveform.</param>
    /// <returns>Alerts as they are raised, escalated and ended; <see cref="AlertChange.Id"/> counts them from 1.</returns>
    public static IObservable<AlertChange> FindAlerts(
        this IObservable<EngineFrame> frames, IObservable<SensorFault> faults, AnalysisOptions options,
        PlaceFinder placeOf, bool loadKnown, IObservable<VibrationChange>? waveform = null)
    {
        ArgumentNullException.ThrowIfNull(frames);
        ArgumentNullException.ThrowIfNull(faults);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(placeOf);
        return frames.Publish(shared => shared.FindAlertsIn(faults, options, placeOf, loadKnown, _ => true, waveform));
    }

    /// <summary>The same where the frames already run for all who listen, leaving out the detectors whose channel the log lacks.</summary>
    internal static IObservable<AlertChange> FindAlertsIn(
        this IObservable<EngineFrame> shared, IObservable<SensorFault> faults, AnalysisOptions options,
        PlaceFinder placeOf, bool loadKnown, Func<Role, bool> has, IObservable<VibrationChange>? waveform = null)
    {
        IObservable<EngineFrame> with(params ReadOnlySpan<Role> needed)
        {
            foreach (Role role in needed)
                if (!has(role)) return Observable.Empty<EngineFrame>();
            return shared;
        }

        OverSpeedOptions overSpeed = WithRedline(options);
        bool hasBands = options.Car.Bands.Any(band => band.Kind == BandKind.EngineSpeed);
        return Observable.Merge(
            faults.Select(fault => Step(fault, placeOf(fault.Start, LoadDirection.None))),
            with(Role.OilPressure, Role.EngineSpeed).DetectPressureDrops(options.PressureDrop)
                .Select(change => Step(change, placeOf(change.Drop.Start, change.Drop.Direction), loadKnown)),
            with(Role.CrankcasePressure).DetectCrankcaseEvents(options.Crankcase)
                .Select(change => Step(change, placeOf(change.Event.Start, LoadDirection.None))),
            (overSpeed.Rpm > 0 ? with(Role.EngineSpeed) : Observable.Empty<EngineFrame>()).DetectOverSpeed(overSpeed)
                .Select(change => Step(change, placeOf(change.OverSpeed.Start, LoadDirection.None))),
            with(Role.OilTemperature).DetectOilTemperature(options.OilTemperature)
                .Select(change => Step(change, placeOf(change.Event.Start, LoadDirection.None))),
            (waveform ?? with(Role.Vibration).DetectVibrationGrowth(options.Vibration))
                .Select(change => Step(change, placeOf(change.Rise.Start, LoadDirection.None))),
            (hasBands ? with(Role.EngineSpeed) : Observable.Empty<EngineFrame>()).WatchSpeedBands(options.Car.Bands, options.SpeedBands)
                .Select(change => Step(change, placeOf(change.Stay.Start, LoadDirection.None))))
            .Number();
    }

    private static AlertChange Step(SensorFault fault, Place place) => new(
        fault.Ending == EventEnd.Open ? AlertPhase.Raised : AlertPhase.Ended,
        fault.Ending == EventEnd.Open ? fault.Raised : fault.End, 0, SensorAlertText.Alert(in fault) with { Lap = place.Lap, Corner = place.Corner });

    private static AlertChange Step(PressureDropChange change, Place place, bool loadKnown)
    {
        PressureDrop drop = change.Drop;
        return new(change.Phase, change.At, 0, OilAlertText.Alert(in drop, place, loadKnown));
    }

    private static AlertChange Step(CrankcaseChange change, Place place)
    {
        CrankcaseEvent found = change.Event;
        return new(change.Phase, change.At, 0, CrankcaseAlertText.Alert(in found, place));
    }

    private static AlertChange Step(OverSpeedChange change, Place place)
    {
        OverSpeed found = change.OverSpeed;
        return new(change.Phase, change.At, 0, OverSpeedAlertText.Alert(in found, place));
    }

    private static AlertChange Step(OilTemperatureChange change, Place place)
    {
        OilTemperatureEvent found = change.Event;
        return new(change.Phase, change.At, 0, OilTemperatureAlertText.Alert(in found, place));
    }

    private static AlertChange Step(VibrationChange change, Place place)
    {
        VibrationRise found = change.Rise;
        return new(change.Phase, change.At, 0, VibrationAlertText.Alert(in found, place));
    }

    private static AlertChange Step(BandStayChange change, Place place)
    {
        BandStay found = change.Stay;
        return new(change.Phase, change.At, 0, VibrationAlertText.Alert(in found, place));
    }

    /// <summary>The limit of the car file's section, or else its redline.</summary>
    private static OverSpeedOptions WithRedline(AnalysisOptions options) =>
        options.OverSpeed.Rpm > 0 ? options.OverSpeed : options.OverSpeed with { Rpm = options.Car.RedlineRpm ?? 0 };

    /// <summary>Numbers alerts in the order of raising; steps of one alert share its number.</summary>
    private static IObservable<AlertChange> Number(this IObservable<AlertChange> changes) => Observable.Defer(() =>
    {
        int last = 0;
        var open = new Dictionary<(AlertGroup, Role, string?, LogTime), int>();
        return changes.Select(change =>
        {
            var key = (GroupOf(change.Alert.Kind), change.Alert.Channel, HasDetail(change.Alert.Kind) ? change.Alert.Detail : null, change.Alert.Kind == AlertKind.SensorFault ? change.Alert.Start : default);
            if (change.Phase == AlertPhase.Raised || !open.TryGetValue(key, out int id)) open[key] = id = ++last;
            if (change.Phase == AlertPhase.Ended) open.Remove(key);
            return change with { Id = id };
        });
    });

    /// <summary>Kinds of which several may stand at once, told apart by their detail; a sensor that was off already may leap as well, and is told apart by when it began.</summary>
    private static bool HasDetail(AlertKind kind) => kind is AlertKind.SensorFault or AlertKind.VibrationBand or AlertKind.EngineSpeedBand;

    /// <summary>A drop may turn from starvation into low pressure while it lasts: it stays one alert.</summary>
    private static AlertGroup GroupOf(AlertKind kind) =>
        kind is AlertKind.OilStarvation or AlertKind.LowOilPressure ? AlertGroup.Oil : (AlertGroup)(int)kind;

    private enum AlertGroup
    {
        Oil = -1,
    }
}
