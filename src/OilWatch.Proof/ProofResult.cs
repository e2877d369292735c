using System.Collections.Immutable;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>What a comparison of two groups proves, with everything it rests on. Null where a number must not or cannot be given.</summary>
public sealed record ProofResult
{
    /// <summary>The answer in one word.</summary>
    public required ProofVerdict Verdict { get; init; }

    /// <summary>The answer in one sentence.</summary>
    public required string Headline { get; init; }

    /// <summary>The state before the change.</summary>
    public required GroupOutcome Before { get; init; }

    /// <summary>The state after it.</summary>
    public required GroupOutcome After { get; init; }

    /// <summary>Rate after over rate before, Mantel-Haenszel standardised over the strata; infinite where before had no event.</summary>
    public double? RateRatio { get; init; }

    /// <summary>Its 95 % limits, laps and sessions respected; the ones behind the verdict.</summary>
    public Limits? RateRatioLimits { get; init; }

    /// <summary>Two-sided p for equal rates, laps and sessions respected.</summary>
    public double? PValue { get; init; }

    /// <summary>The conditional exact test of the unstratified counts, were every exposure independent; after is its first group.</summary>
    public RateRatioTest? Exact { get; init; }

    /// <summary>The textbook Mantel-Haenszel ratio, were every exposure independent.</summary>
    public MantelHaenszel? Stratified { get; init; }

    /// <summary>Whether time under load to the drop differs.</summary>
    public LogRank? LogRank { get; init; }

    /// <summary>p of the log-rank statistic divided by the larger design effect.</summary>
    public double? LogRankClusteredPValue { get; init; }

    /// <summary>How often it could still happen after, per 100 exposures: 95 % one-sided upper bound, laps and sessions respected.</summary>
    public double? AfterUpperBoundPer100 { get; init; }

    /// <summary>What the bound has to stay under for <see cref="ProofVerdict.Fixed"/>, per 100 exposures.</summary>
    public double? AfterBoundWantedPer100 { get; init; }

    /// <summary>Scatter between sessions, standard deviation of the log odds, after seeing the data.</summary>
    public double? SessionScatter { get; init; }

    /// <summary>How much more a lap's total varies than independent passes would.</summary>
    public double? LapDesignEffect { get; init; }

    /// <summary>How the worst pressure ratio moved.</summary>
    public DepthEffect? Depth { get; init; }

    /// <summary>What more would settle it.</summary>
    public required NeededMore Needed { get; init; }

    /// <summary>What was compared with what.</summary>
    public ImmutableArray<ProofStratum> Strata { get; init; } = [];

    /// <summary>Conditions of the groups: before, after.</summary>
    public ImmutableArray<AxisCover> Conditions { get; init; } = [];

    /// <summary>What was left out and why.</summary>
    public ImmutableArray<LeftOut> LeftOut { get; init; } = [];

    /// <summary>Why the verdict is what it is, a sentence each.</summary>
    public ImmutableArray<string> Reasons { get; init; } = [];

    /// <summary>What would change the verdict, a sentence each.</summary>
    public ImmutableArray<string> WouldChange { get; init; } = [];
}
