using System.Collections.Immutable;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>One group of a comparison. Numbers are of the common region unless said otherwise; null is "not known" or "not to be said".</summary>
public sealed record GroupOutcome
{
    /// <summary>For people.</summary>
    public required string Name { get; init; }

    /// <summary>Sessions given, repeated ones counted once.</summary>
    public required int Sessions { get; init; }

    /// <summary>Laps with exposures in the region.</summary>
    public required int Laps { get; init; }

    /// <summary>Exposures judged, in the region or not.</summary>
    public required int Judged { get; init; }

    /// <summary>Exposures whose pressure could not be judged.</summary>
    public required int NotJudged { get; init; }

    /// <summary>Exposures in the region that all groups cover.</summary>
    public required int Exposures { get; init; }

    /// <summary>Events among them.</summary>
    public required int Events { get; init; }

    /// <summary>Events outside the region.</summary>
    public required int EventsOutside { get; init; }

    /// <summary>Events per 100 exposures.</summary>
    public double? RatePer100 { get; init; }

    /// <summary>Exact 95 % limits of the rate, were every exposure independent (Clopper-Pearson).</summary>
    public Limits? ExactLimitsPer100 { get; init; }

    /// <summary>95 % limits of the rate that know of laps and sessions; the ones behind the verdict.</summary>
    public Limits? LimitsPer100 { get; init; }

    /// <summary>Variance against independent exposures with the same rate.</summary>
    public double? DesignEffect { get; init; }

    /// <summary>Share of exposures still without a drop after a time under load.</summary>
    public KaplanMeier? TimeToDrop { get; init; }

    /// <summary>Lowest ratio of pressure to expected of each exposure, sorted.</summary>
    public ImmutableArray<double> MinRatios { get; init; } = [];

    /// <summary>Median of them.</summary>
    public double? MinRatioMedian { get; init; }

    /// <summary>95 % limits of the median, laps and sessions respected.</summary>
    public Limits? MinRatioMedianLimits { get; init; }
}
