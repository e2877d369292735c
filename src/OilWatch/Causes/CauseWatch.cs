using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Detectors;
using OilWatch.Frames;
using static System.FormattableString;

namespace OilWatch.Causes;

/// <summary>Measures a run as it comes and gives each alert its reading: from the alert's own shape, refined by what the run has shown up to then.</summary>
/// <param name="options">Thresholds and advice.</param>
/// <param name="loadKnown">False when the log has no acceleration channel.</param>
/// <param name="asItRuns">False where nobody hears an alert before the run is over: then each is read once, by the whole run, in <see cref="Refine"/>.</param>
internal sealed class CauseWatch(AnalysisOptions options, bool loadKnown, bool asItRuns)
{
    private const int MostOfRun = 3;           // the run's reading has all of them
    private const string RunWord = "over the run: ";
    private const double ComesBackS = 8;
    private const double MostOfStep = 1.5;               // two contacts of one connector, or a step while engine speed moved, which cannot be told
    private const double MostlyUnloaded = 0.5;
    private const double BeforeChangeS = 15;             // a change is dated to a stretch of the run, not to an instant
    private const double UnsureShare = 0.1;              // of pressure: what is healthy is not known better where the sensor stepped while it was learned
    private readonly SignatureTally _tally = new(options.PressureModel);
    private readonly DropTally _drops = new();
    private readonly DropWatch _shape = new();
    private readonly PanSense _pan = new();
    private readonly Dictionary<int, DropShape> _shapes = [];
    private CauseReading _sofar = CauseReading.NotJudged;

    private Lubrication? Sump => options.Car.Lubrication;

    /// <summary>Takes a frame with its expectation and loads filled in.</summary>
    public void Step(in EngineFrame frame)
    {
        _tally.Step(in frame);
        _shape.Step(in frame);
        _pan.Step(in frame);
    }

    /// <summary>An alert whose drop began under two loads, by the one that the run as a whole shows this pan to mind.</summary>
    /// <param name="alert">The alert, over.</param>
    /// <param name="placeOf">Where on the circuit it began, by the load.</param>
    public Alert Turn(Alert alert, PlaceFinder placeOf)
    {
        if (alert.Kind != AlertKind.OilStarvation || !_pan.Minds(alert.OtherDirection, alert.Direction)) return alert;
        Alert turned = OilAlertText.Turned(Facts(alert), placeOf(alert.Start, alert.OtherDirection));
        _drops.Turn(alert, turned);
        return turned;
    }

    /// <summary>Takes a step in an alert's life and gives it back with its reading.</summary>
    public AlertChange Take(AlertChange change)
    {
        Alert alert = change.Alert;
        if (alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure) return change with { Alert = TakeDrop(change) };
        if (alert.Kind == AlertKind.SensorFault)
        {
            if (change.Phase != AlertPhase.Escalated) _drops.AddFault(alert, change.Phase == AlertPhase.Ended);
            return change with { Alert = alert with { Inspect = Looks([Cause.Sensor]) } };
        }
        return alert.Inspect.IsDefaultOrEmpty ? change with { Alert = alert with { Inspect = options.Advice.Looks(alert.Kind, Sump) } } : change;
    }

    /// <summary>The reading of the whole run.</summary>
    /// <param name="own">This run's healthy curve, or null when it was not learned well enough.</param>
    /// <param name="reference">What the engine showed before, or null.</param>
    /// <param name="map">What calm running of this run showed.</param>
    /// <param name="asItRan">True when what is healthy was learned while the run went on.</param>
    /// <param name="contact">What the contacts of the pressure sensor showed.</param>
    public CauseReading Read(HealthyReference? own, HealthyReference? reference, PressureMap map, bool asItRan, in ContactSigns contact)
    {
        Signature run = Signature.Of(_tally, _drops, null) with { MindsAlone = _pan.Alone };
        MatchedFall matched = MatchedFall.Of(map, anyLoad: run.Drops == 0 || run.Unloaded >= MostlyUnloaded);
        double changedAtS = run.Fell ? run.FellAtS : !double.IsNaN(run.UnsteadyAtS) ? run.UnsteadyAtS : matched.IsSure ? matched.AtS : run.FlutterAtS;
        int changed = double.IsNaN(changedAtS) ? -1 : _tally.StretchOf(LogTime.FromSeconds(changedAtS));
        double sinceS = matched.IsSure ? matched.FromS : double.NegativeInfinity;
        return CauseReader.Read(
            run with
            {
                AsItRan = asItRan,
                Contact = contact,
                Deeper = _drops.DeeperThan((MostOfStep * contact.LargestKpa) + (UnsureShare * _tally.MeanExpectedKpa())),
                StepShare = MostOfStep * contact.LargestKpa / _tally.MeanExpectedKpa(),
                Matched = matched,
                Course = ChangeCourse.Of(_tally, changed),
                Level = own is null ? LevelSignature.Unknown : LevelSignature.Of(own, reference, sinceS),
                Kind = run.Fell ? FallKind.At(map, run.FellAtS) : FallKind.Unknown,
            },
            Looks);
    }

    /// <summary>An alert's reading once the run is known to its end.</summary>
    /// <param name="change">The alert's last step.</param>
    /// <param name="run">The reading of the run.</param>
    public Alert Refine(AlertChange change, CauseReading run) =>
        change.Alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure && _shapes.TryGetValue(change.Id, out DropShape shape)
            ? Explained(Facts(change.Alert), in shape, run)
            : change.Alert;

    private Alert TakeDrop(AlertChange change)
    {
        Alert alert = change.Alert;
        bool ended = change.Phase == AlertPhase.Ended;
        if (change.Phase == AlertPhase.Raised) _shape.Begin(alert.Start);
        DropShape shape = _shape.Shape(alert.MinRatio ?? 1, alert.End.SecondsSince(alert.Start));
        if (ended)
        {
            _shape.End();
            _drops.AddDrop(alert, in shape);
            _shapes[change.Id] = shape;
        }
        if (!asItRuns) return alert;
        // When it is raised the run shows of it nothing yet: what was read last stands.
        if (change.Phase != AlertPhase.Raised) _sofar = CauseReader.Read(Signature.Of(_tally, _drops, ended ? null : alert) with { MindsAlone = _pan.Alone }, Looks);
        return Explained(alert, ended ? shape : default, _sofar);
    }

    /// <summary>The alert with the facts alone, without what was read out of them.</summary>
    private static Alert Facts(Alert alert) => alert with { Evidence = [.. alert.Evidence.TakeWhile(sentence => !sentence.StartsWith(RunWord, StringComparison.Ordinal))] };

    private Alert Explained(Alert alert, in DropShape shape, CauseReading run)
    {
        if (shape.IsStep)
        {
            return With(alert, "sensor, connector or wiring: pressure stepped down and back faster than oil can", Looks([Cause.Sensor]),
                ["it went and came back from one reading to the next"]);
        }
        if (run is { Outcome: CauseOutcome.Named, Cause: Cause.PickupUncovered } && shape.CollapsedUnder != LoadDirection.None && shape.CollapsedUnder == run.Direction)
            return With(alert, run.Reading, run.Inspect, run.Evidence);
        if (run is { Outcome: CauseOutcome.Named, Cause: { } cause } && Applies(cause, alert, run))
        {
            return cause == Cause.PickupUncovered
                ? With(alert, OilAlertText.Uncovered(alert.Direction), run.Inspect, run.Evidence)
                : With(alert, run.Reading, run.Inspect, run.Evidence);
        }
        if (IsOfSteps(alert, run)) return With(alert, run.Reading, run.Inspect, run.Evidence);
        ImmutableArray<string> doubt = run.Cause == Cause.Sensor ? run.Evidence : [];
        if (alert.Direction != LoadDirection.None && !(alert.DurationS > ComesBackS))
            return With(alert, OilAlertText.Uncovered(alert.Direction), Looks([Cause.PickupUncovered]), doubt);
        if (alert.Direction != LoadDirection.None)
        {
            return With(alert, "cannot tell: oil pickup uncovered by the load, or broken or come loose", Looks([Cause.PickupUncovered, Cause.PickupBroken]),
                [Invariant($"it lasted {alert.DurationS:F0} s, longer than a load uncovers a pickup")]);
        }
        if (!loadKnown) return With(alert, OilAlertText.LoadUnknown, Looks([Cause.PickupUncovered, Cause.Sensor, Cause.PickupBroken]), doubt);
        return run is { Outcome: CauseOutcome.CannotTell, Candidates.IsEmpty: false } && !run.Candidates.Contains(Cause.ThinOil)
            ? With(alert, run.Reading, run.Inspect, run.Evidence)
            : With(alert, OilAlertText.Unexplained, Looks([Cause.PumpDamage, Cause.PickupBroken, Cause.ReliefValve, Cause.Sensor]), doubt);
    }

    /// <summary>Whether the run's cause is this alert's too.</summary>
    private static bool Applies(Cause cause, Alert alert, CauseReading run) => cause switch
    {
        Cause.PickupUncovered => alert.Direction != LoadDirection.None && !(alert.DurationS > ComesBackS),
        Cause.AirInOil or Cause.PickupBroken or Cause.ReliefValve or Cause.PumpDamage => !(alert.End.Seconds < Since(run) - BeforeChangeS),
        _ => false,
    };

    /// <summary>True where the run's steps of the sensor take as much as the alert lost.</summary>
    private static bool IsOfSteps(Alert alert, CauseReading run)
    {
        if (run.Cause != Cause.Sensor || alert is not { ExpectedKpa: { } expected, MinKpa: { } least }) return false;
        foreach ((string name, double value, _) in run.Measurements)
            if (name is "jump_largest") return value > 0 && expected - least <= (MostOfStep * value) + (UnsureShare * expected);
        return false;
    }

    private static double Since(CauseReading run)
    {
        double since = double.NaN;
        foreach ((string name, double value, _) in run.Measurements)
        {
            if (name is "fell_at") return value;
            if (name is "unsteady_at") since = value;
        }
        return since;
    }

    private static Alert With(Alert alert, string reading, ImmutableArray<string> inspect, ImmutableArray<string> run) => alert with
    {
        Reading = reading,
        Inspect = inspect,
        Evidence = [.. alert.Evidence, .. run.Take(MostOfRun).Select(sentence => RunWord + sentence)],
    };

    private ImmutableArray<string> Looks(ReadOnlySpan<Cause> causes) => options.Advice.Looks(causes, Sump);
}
