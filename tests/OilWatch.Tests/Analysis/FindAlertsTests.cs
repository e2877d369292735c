using System.Reactive.Linq;
using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Tests.Detectors;

namespace OilWatch.Tests.Analysis;

public sealed class FindAlertsTests
{
    private static readonly PlaceFinder Nowhere = (_, _) => default;

    private static EngineFrame[] Frames(string frames) => [.. new DropScenario("test", "20Hz e400 s8 n5000 0g " + frames, "nothing").Frames()];

    private static SensorFault Fault(double startS, double raisedS, double endS, EventEnd ending, SensorFaultKind kind = SensorFaultKind.Stuck) =>
        new(Role.OilPressure, kind, LogTime.FromSeconds(startS), LogTime.FromSeconds(raisedS), LogTime.FromSeconds(endS), ending, 300, 0);

    private static List<AlertChange> Found(EngineFrame[] frames, PlaceFinder? placeOf = null, bool loadKnown = true, params (int AtFrame, SensorFault Fault)[] faults)
    {
        using var source = new Subject<EngineFrame>();
        using var guard = new Subject<SensorFault>();
        var changes = new List<AlertChange>();
        bool completed = false;
        using IDisposable _ = source.FindAlerts(guard, AnalysisOptions.Default, placeOf ?? Nowhere, loadKnown).Subscribe(changes.Add, () => completed = true);
        for (int i = 0; i < frames.Length; i++)
        {
            foreach ((int at, SensorFault fault) in faults)
                if (at == i) guard.OnNext(fault);
            source.OnNext(frames[i]);
        }

        guard.OnCompleted();
        Assert.False(completed);
        source.OnCompleted();
        Assert.True(completed);
        return changes;
    }

    [Fact]
    public void Nothing_is_found_in_nothing() => Assert.Empty(Found([]));

    [Fact]
    public void Every_source_must_be_there()
    {
        IObservable<EngineFrame> frames = Observable.Empty<EngineFrame>();
        IObservable<SensorFault> faults = Observable.Empty<SensorFault>();
        Assert.Throws<ArgumentNullException>("frames", () => FindAlertsOperator.FindAlerts(null!, faults, AnalysisOptions.Default, Nowhere, true));
        Assert.Throws<ArgumentNullException>("faults", () => frames.FindAlerts(null!, AnalysisOptions.Default, Nowhere, true));
        Assert.Throws<ArgumentNullException>("options", () => frames.FindAlerts(faults, null!, Nowhere, true));
        Assert.Throws<ArgumentNullException>("placeOf", () => frames.FindAlerts(faults, AnalysisOptions.Default, null!, true));
    }

    [Fact]
    public void Alerts_are_numbered_in_the_order_of_raising_and_keep_their_number()
    {
        List<AlertChange> changes = Found(
            Frames("400x20 150x12 400x40 200x6 400x40"), Nowhere, loadKnown: true,
            (24, Fault(0.8, 1.2, 1.2, EventEnd.Open)), (60, Fault(0.8, 1.2, 3, EventEnd.Recovered)));
        Assert.Equal([1, 2, 3], changes.Where(change => change.Phase == AlertPhase.Raised).Select(change => change.Id));
        foreach (IGrouping<int, AlertChange> steps in changes.GroupBy(change => change.Id))
        {
            Assert.Equal(AlertPhase.Raised, steps.First().Phase);
            Assert.Equal(AlertPhase.Ended, steps.Last().Phase);
            Assert.Single(steps, step => step.Phase == AlertPhase.Raised);
            Assert.Single(steps, step => step.Phase == AlertPhase.Ended);
            Assert.Single(steps.Select(step => step.Alert.Start).Distinct());
        }

        Assert.Equal([AlertKind.LowOilPressure, AlertKind.SensorFault, AlertKind.LowOilPressure],
            changes.Where(change => change.Phase == AlertPhase.Raised).Select(change => change.Alert.Kind));
    }

    [Fact]
    public void A_drop_that_outlasts_the_load_stays_one_alert_and_changes_its_kind()
    {
        List<AlertChange> changes = Found(Frames("400x40 L1.2 400x40 200x10 0g 200x100 400x40"));
        Assert.All(changes, change => Assert.Equal(1, change.Id));
        Assert.Equal(AlertKind.OilStarvation, changes[0].Alert.Kind);
        Assert.Equal((AlertPhase.Ended, AlertKind.LowOilPressure, LoadDirection.None), (changes[^1].Phase, changes[^1].Alert.Kind, changes[^1].Alert.Direction));
    }

    [Fact]
    public void The_place_is_asked_for_with_the_start_and_the_direction()
    {
        var asked = new List<(LogTime At, LoadDirection Direction)>();
        List<AlertChange> changes = Found(Frames("400x40 L1.2 400x20 200x10 400x10 0g 400x40"), (at, direction) =>
        {
            asked.Add((at, direction));
            return new Place(7, "C3L");
        });
        Assert.Equal(changes.Select(change => (change.Alert.Start, LoadDirection.Left)), asked);
        Assert.All(changes, change => Assert.Equal((7, "C3L"), (change.Alert.Lap, change.Alert.Corner)));
    }

    [Fact]
    public void What_is_not_known_is_null_and_never_nothing()
    {
        Alert alert = Found(Frames("nog 400x20 200x6 400x40"), loadKnown: false)[^1].Alert;
        Assert.Null(alert.PeakLateralG);
        Assert.Null(alert.LoadBeforeS);
        Assert.Null(alert.OilTemperatureC);
        Assert.Null(alert.Lap);
        Assert.Null(alert.Corner);
        Assert.Equal(200, alert.MinKpa);
        Assert.Equal(0.5, alert.MinRatio);
    }

    [Fact]
    public void An_error_of_either_source_passes_through()
    {
        var failure = new InvalidOperationException("the source broke");
        Exception? seen = null;
        using (Observable.Throw<EngineFrame>(failure).FindAlerts(Observable.Never<SensorFault>(), AnalysisOptions.Default, Nowhere, true).Subscribe(_ => { }, error => seen = error)) Assert.Same(failure, seen);
        seen = null;
        using (Observable.Never<EngineFrame>().FindAlerts(Observable.Throw<SensorFault>(failure), AnalysisOptions.Default, Nowhere, true).Subscribe(_ => { }, error => seen = error)) Assert.Same(failure, seen);
    }
}
