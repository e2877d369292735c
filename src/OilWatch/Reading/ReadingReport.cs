using System.Collections.Immutable;

namespace OilWatch.Reading;

/// <summary>What a reader read and what it could not. Every line falls into exactly one class; the counts add up.</summary>
public sealed record ReadingReport
{
    /// <summary>Bytes read, after decompression.</summary>
    public long Bytes { get; init; }

    /// <summary>Lines (or records) in all.</summary>
    public long Lines { get; init; }

    /// <summary>Lines by class, such as <c>rows</c>, <c>frames</c>, <c>error frames</c>, <c>comments</c>, <c>damaged</c>, in a fixed order.</summary>
    public ImmutableArray<(string Name, long Count)> Classes { get; init; } = [];

    /// <summary>The first instant seen, or null when nothing was read.</summary>
    public LogTime? First { get; init; }

    /// <summary>The last instant seen.</summary>
    public LogTime? Last { get; init; }

    /// <summary>How many times the time stamps went backwards beyond what could be put in order.</summary>
    public long TimeWentBack { get; init; }

    /// <summary>How many problems there were in all.</summary>
    public long ProblemCount { get; init; }

    /// <summary>The first few problems, in full.</summary>
    public ImmutableArray<ReadingProblem> Problems { get; init; } = [];
}
