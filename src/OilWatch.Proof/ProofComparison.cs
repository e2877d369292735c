using System.Collections.Immutable;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>Several groups, each compared with the first.</summary>
/// <param name="Pairs">First against second, first against third, and so on.</param>
/// <param name="HolmPValues">The pairs' p-values, raised by Holm's rule because several were tried; null where a pair has none.</param>
/// <param name="Overall">Log-rank test of all groups in the region that all cover; null where there is none.</param>
public sealed record ProofComparison(ImmutableArray<ProofResult> Pairs, ImmutableArray<double?> HolmPValues, LogRank? Overall);
