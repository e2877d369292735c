using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Causes;

/// <summary>Why oil pressure was lost, read from what the whole run showed. A reading, not a diagnosis.</summary>
public sealed record CauseReading
{
    /// <summary>Where oil pressure could not be judged.</summary>
    internal static CauseReading NotJudged { get; } = new() { Outcome = CauseOutcome.NotJudged, Reading = "oil pressure could not be judged" };

    /// <summary>What came of it.</summary>
    public required CauseOutcome Outcome { get; init; }

    /// <summary>The cause, where one is named; otherwise null.</summary>
    public Cause? Cause { get; init; }

    /// <summary>The load that uncovers the pickup, where that is named and one direction stands out; otherwise <see cref="LoadDirection.None"/>.</summary>
    public LoadDirection Direction { get; init; }

    /// <summary>One sentence in the trade's words.</summary>
    public required string Reading { get; init; }

    /// <summary>Short sentences that carry the numbers behind it.</summary>
    public ImmutableArray<string> Evidence { get; init; } = [];

    /// <summary>The causes that remain, best first, where it cannot be told; otherwise empty.</summary>
    public ImmutableArray<Cause> Candidates { get; init; } = [];

    /// <summary>What an engine builder would look at because of it, most telling first.</summary>
    public ImmutableArray<string> Inspect { get; init; } = [];

    /// <summary>What else was found beside it, a sentence each.</summary>
    public ImmutableArray<string> Also { get; init; } = [];

    /// <summary>How well each cause fits, best first; those that do not fit are left out.</summary>
    public ImmutableArray<CauseScore> Scores { get; init; } = [];

    /// <summary>The measurements that the tests are made on, those that are known.</summary>
    public ImmutableArray<(string Name, double Value, string Unit)> Measurements { get; init; } = [];
}
