using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>How the worst pressure ratio moved.</summary>
/// <param name="MedianChange">Median after less median before, ratio of expected pressure; positive is better.</param>
/// <param name="Limits">95 % limits by resampling whole laps.</param>
/// <param name="Delta">Cliff's delta: share of pairs in which after is higher less the share in which it is lower, −1 to 1.</param>
public sealed record DepthEffect(double MedianChange, Limits Limits, double Delta);
