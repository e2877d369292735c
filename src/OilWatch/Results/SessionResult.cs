using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Reading;
using OilWatch.Results.Traces;
using OilWatch.Vibration;

namespace OilWatch.Results;

/// <summary>Everything that the analysis of one log found. The files, the console answer and the report are made from this and nothing else.</summary>
public sealed record SessionResult
{
    /// <summary>The log's file name, without its folder.</summary>
    public required string LogName { get; init; }

    /// <summary>What kind of log it was, in words.</summary>
    public required string FormatName { get; init; }

    /// <summary>What the car file calls the car, or null.</summary>
    public string? CarName { get; init; }

    /// <summary>True when the run was judged as the pit would have seen it.</summary>
    public bool AsLive { get; init; }

    /// <summary>The answer in one word.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>The answer in one sentence.</summary>
    public required string Headline { get; init; }

    /// <summary>Why oil pressure was lost, as far as the run shows it; null where that was not asked.</summary>
    public CauseReading? Cause { get; init; }

    /// <summary>All alerts, final, in order of <see cref="Alert.Start"/>.</summary>
    public ImmutableArray<Alert> Alerts { get; init; } = [];

    /// <summary>Laps in order.</summary>
    public ImmutableArray<LapSummary> Laps { get; init; } = [];

    /// <summary>The circuit's corners in order; empty where the circuit is not known.</summary>
    public ImmutableArray<Corner> Corners { get; init; } = [];

    /// <summary>Passes through corners in order of time.</summary>
    public ImmutableArray<CornerPass> CornerPasses { get; init; } = [];

    /// <summary>Stretches of sustained braking in order of time.</summary>
    public ImmutableArray<BrakingZone> BrakingZones { get; init; } = [];

    /// <summary>Corners with oil starvation, worst first.</summary>
    public ImmutableArray<CornerHarm> WorstCorners { get; init; } = [];

    /// <summary>First and last instant of the log, or null when it holds no readings.</summary>
    public LogTime? First { get; init; }

    /// <summary>Last instant of the log.</summary>
    public LogTime? Last { get; init; }

    /// <summary>Hours with the engine running, or null when engine speed is not known.</summary>
    public double? EngineHours { get; init; }

    /// <summary>Crank revolutions turned, or null.</summary>
    public double? EngineRevolutions { get; init; }

    /// <summary>Against what pressure was judged, or null when it could not be judged.</summary>
    public BaselineSummary? Baseline { get; init; }

    /// <summary>Channels used, in the order of the roles.</summary>
    public ImmutableArray<ChannelQuality> Channels { get; init; } = [];

    /// <summary>What a raw vibration waveform showed, or null without one.</summary>
    public WaveSummary? Waveform { get; init; }

    /// <summary>How long engine speed was in each of the car file's engine-speed bands; empty where it has none.</summary>
    public ImmutableArray<BandTotal> SpeedBands { get; init; } = [];

    /// <summary>What could not be judged and why, a sentence each.</summary>
    public ImmutableArray<string> NotJudged { get; init; } = [];

    /// <summary>Numbers for comparing sessions.</summary>
    public ImmutableArray<HealthIndex> HealthIndices { get; init; } = [];

    /// <summary>Which channel filled which role and why.</summary>
    public required ChannelPlan Plan { get; init; }

    /// <summary>What the reader read and what it could not.</summary>
    public required ReadingReport Reading { get; init; }

    /// <summary>Sentences about what was assumed while reading.</summary>
    public ImmutableArray<string> Assumptions { get; init; } = [];

    /// <summary>Every threshold with the value that was used (in the place of the default).</summary>
    public ImmutableArray<LimitRow> Limits { get; init; } = [];

    /// <summary>What pictures are drawn from; not part of the data files.</summary>
    public SessionTraces Traces { get; init; } = SessionTraces.None;
}
