using System.Collections.Immutable;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>The first of two passes over a log: which source tells the laps apart, and where the corners are.</summary>
/// <remarks>Every source that the log offers is tried side by side; the best that gives a timed lap is taken, else the best that gives a passing of the line.</remarks>
public sealed class CircuitSurvey
{
    private readonly ImmutableArray<Trial> _trials;
    private Trial? _chosen;

    /// <summary>A survey at the start of a log.</summary>
    /// <param name="sources">What can tell laps apart, best first (<see cref="LapCounter.SourcesFor"/>); empty for a log without laps.</param>
    /// <param name="gate">The gate line, where there is one.</param>
    /// <param name="laps">Thresholds of laps; null for the defaults.</param>
    /// <param name="load">Thresholds of corners; null for the defaults.</param>
    /// <exception cref="ArgumentException">A threshold is out of range, or a gate is needed and missing.</exception>
    public CircuitSurvey(ImmutableArray<LapSource> sources, LapGate? gate = null, LapOptions? laps = null, LoadOptions? load = null) =>
        _trials = [.. sources.Select(source => new Trial(source, gate, laps, load))];

    /// <summary>The counter of the source that was taken, for the second pass to go by; null where there are no laps.</summary>
    public LapCounter? Counter => _chosen?.Counter;

    /// <summary>The source that was taken; <see cref="LapSource.None"/> before <see cref="Finish"/> and where there are no laps.</summary>
    public LapSource Source => _chosen?.Counter.Source ?? LapSource.None;

    /// <summary>The circuit, or null where it could not be learnt.</summary>
    public CircuitMap? Map { get; private set; }

    /// <summary>Takes a frame with its sustained load; the frame itself stays as it is.</summary>
    public void Step(in EngineFrame frame)
    {
        foreach (Trial trial in _trials) trial.Step(in frame);
    }

    /// <summary>The log is over: chooses the source and learns the map.</summary>
    public void Finish()
    {
        foreach (Trial trial in _trials) trial.Finish();
        _chosen = _trials.FirstOrDefault(trial => trial.Counter.Laps.Any(lap => lap.Kind == LapKind.Timed))
            ?? _trials.FirstOrDefault(trial => trial.Counter.Laps.Count > 1)
            ?? _trials.FirstOrDefault();
        Map = _chosen?.Learner.Build(_chosen.Counter.MedianLengthM);
    }

    private sealed class Trial(LapSource source, LapGate? gate, LapOptions? laps, LoadOptions? load)
    {
        private readonly CornerTracker _tracker = new(null, load);

        public LapCounter Counter { get; } = new(source, gate, laps);

        public CircuitLearner Learner { get; } = new(load, mapAtEachLap: false);

        public void Step(in EngineFrame given)
        {
            EngineFrame frame = given;
            if (Counter.Step(ref frame) is { } ended) Learner.Close(ended, Counter.ReferenceLengthM);
            if (_tracker.Step(ref frame) is { } pass) Learner.Add(pass);
            Learner.Step(in frame);
        }

        public void Finish()
        {
            if (_tracker.Finish() is { } pass) Learner.Add(pass);
            Counter.Finish();
            Learner.Finish();
        }
    }
}
