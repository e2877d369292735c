using System.Collections.Immutable;
using OilWatch.Reading;
using OilWatch.Vibration;

namespace OilWatch.Results;

/// <summary>What a raw vibration waveform recorded beside the log showed.</summary>
public sealed record WaveSummary
{
    /// <summary>The file's name.</summary>
    public required string Source { get; init; }

    /// <summary>What kind of file it is, in words: <c>WAVE</c> or <c>table</c>.</summary>
    public required string FormatName { get; init; }

    /// <summary>Samples a second of each axis.</summary>
    public required double RateHz { get; init; }

    /// <summary>The first instant of it that lies within the log.</summary>
    public required LogTime Start { get; init; }

    /// <summary>The last instant of it that lies within the log.</summary>
    public required LogTime End { get; init; }

    /// <summary>What each axis showed.</summary>
    public ImmutableArray<WaveAnalysis> Axes { get; init; } = [];

    /// <summary>What was odd about the file but could be read.</summary>
    public ImmutableArray<ReadingProblem> Problems { get; init; } = [];
}
