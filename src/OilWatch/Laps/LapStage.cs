using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Frames;
using OilWatch.Results;

namespace OilWatch.Laps;

/// <summary>The station of the way that knows laps and corners: fills in a frame's lap, lap distance and corner, and keeps the sums.</summary>
/// <remarks>
/// Give it each frame once its sustained load and expected pressure are filled in, before the detectors see it. With a survey of the same log it knows the
/// circuit from the first frame; without one it learns as it goes and labels corners from the second timed lap on.
/// </remarks>
public sealed class LapStage
{
    /// <summary>Passes kept at most; later ones are left out, and <see cref="Notes"/> says so.</summary>
    public const int MaxPasses = 100_000;

    private readonly LapCounter _counter;
    private readonly CornerTracker _tracker;
    private readonly CircuitLearner? _learner;
    private readonly LapTally _tally;
    private readonly List<CornerPass> _passes = [];
    private bool _passesLeftOut;

    /// <summary>A stage for one causal pass.</summary>
    /// <param name="source">What tells the laps apart.</param>
    /// <param name="car">The car: its gate and bands.</param>
    /// <param name="laps">Thresholds of laps; null for the defaults.</param>
    /// <param name="load">Thresholds of corners; null for the defaults.</param>
    /// <exception cref="ArgumentException">A threshold is out of range, or a gate is needed and missing.</exception>
    public LapStage(LapSource source, CarSettings car, LapOptions? laps = null, LoadOptions? load = null)
    {
        ArgumentNullException.ThrowIfNull(car);
        _counter = new LapCounter(source, car.Gate, laps);
        _tracker = new CornerTracker(null, load);
        _learner = new CircuitLearner(load);
        _tally = new LapTally(car.Bands);
    }

    /// <summary>A stage for the second pass over a log.</summary>
    /// <param name="survey">The finished survey of the same log.</param>
    /// <param name="car">The car: its gate and bands.</param>
    /// <param name="laps">Thresholds of laps; null for the defaults.</param>
    /// <param name="load">Thresholds of corners; null for the defaults.</param>
    /// <exception cref="ArgumentException">A threshold is out of range, or a gate is needed and missing.</exception>
    public LapStage(CircuitSurvey survey, CarSettings car, LapOptions? laps = null, LoadOptions? load = null)
    {
        ArgumentNullException.ThrowIfNull(survey);
        ArgumentNullException.ThrowIfNull(car);
        _counter = new LapCounter(survey.Source, car.Gate, laps, survey.Counter);
        _tracker = new CornerTracker(survey.Map, load);
        _tally = new LapTally(car.Bands);
    }

    /// <summary>The laps that are over.</summary>
    public IReadOnlyList<Lap> Laps => _counter.Laps;

    /// <summary>The passes that are over, not yet joined with alerts.</summary>
    public IReadOnlyList<CornerPass> Passes => _passes;

    /// <summary>The corners as known now.</summary>
    public ImmutableArray<Corner> Corners => _tracker.Map?.Corners ?? [];

    /// <summary>Which corner any instant so far belongs to: for an alert's <see cref="Alert.Corner"/>.</summary>
    public CornerLabels Labels => _tracker.Labels;

    /// <summary>Running time and revolutions.</summary>
    public EngineHours Engine => _tally.Engine;

    /// <summary>What was left out, a sentence each.</summary>
    public ImmutableArray<string> Notes =>
    [
        .. _counter.Note is { } note ? [note] : Array.Empty<string>(),
        .. _passesLeftOut ? [FormattableString.Invariant($"only the first {MaxPasses} passes through corners are kept")] : Array.Empty<string>(),
    ];

    /// <summary>Takes a frame and fills in its lap, lap distance and corner.</summary>
    /// <returns>The lap that was found to be over with this frame, or null.</returns>
    public Lap? Step(ref EngineFrame frame)
    {
        Lap? ended = _counter.Step(ref frame);
        if (ended is not null)
        {
            if (_learner is not null)
            {
                _learner.Close(ended, _counter.ReferenceLengthM);
                _tracker.Use(_learner.Map);
            }

            _tracker.Close(ended);
        }

        if (_tracker.Step(ref frame) is { } pass) Keep(pass);
        _learner?.Step(frame);
        _tally.Step(frame, ended);
        return ended;
    }

    /// <summary>The number of the lap in which an instant lies, or null; for an alert that began before the frame at which it was raised.</summary>
    public int? LapAt(LogTime at)
    {
        int low = 0, high = Laps.Count;     // the first lap that begins after the instant
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (Laps[middle].Start <= at) low = middle + 1;
            else high = middle;
        }

        if (low > 0 && at < Laps[low - 1].End) return Laps[low - 1].Number;
        if (_counter.Under(at) is { } underWay) return underWay;
        return low > 0 && low == Laps.Count && at == Laps[^1].End ? Laps[^1].Number : null;
    }

    /// <summary>The log is over.</summary>
    /// <returns>The lap that it ended in, or null.</returns>
    public Lap? Finish()
    {
        if (_tracker.Finish() is { } pass) Keep(pass);
        Lap? last = _counter.Finish();
        _tally.Finish(last);
        return last;
    }

    /// <summary>The row of the lap that was over last, or null.</summary>
    /// <param name="alerts">The alerts that began in it, those that last included; others are left aside.</param>
    public LapSummary? LatestRow(IEnumerable<Alert> alerts) => _tally.LatestRow(_counter.Laps, alerts);

    /// <summary>What the laps add to a session's result.</summary>
    /// <param name="alerts">All alerts, final, with their corners.</param>
    public (ImmutableArray<LapSummary> Laps, ImmutableArray<CornerPass> Passes, ImmutableArray<CornerHarm> Worst) Join(IReadOnlyList<Alert> alerts)
    {
        ImmutableArray<CornerPass> passes = CornerTally.Join(_passes, alerts);
        return (_tally.Join(_counter.Laps, alerts), passes, WorstCorners.Rank(passes, alerts));
    }

    private void Keep(CornerPass pass)
    {
        _learner?.Add(pass);
        if (_passes.Count < MaxPasses) _passes.Add(pass);
        else _passesLeftOut = true;
    }
}
