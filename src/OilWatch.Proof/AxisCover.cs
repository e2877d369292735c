using System.Collections.Immutable;

namespace OilWatch.Proof;

/// <summary>One condition over the groups.</summary>
/// <param name="Name">Such as <c>oil temperature</c>.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Matched">False where a group does not have it, so that nothing could be matched.</param>
/// <param name="Ranges">Least and greatest of all judged exposures of each group, null where it has none.</param>
/// <param name="Means">Mean of each group within the region, standardised over the strata; null where not known.</param>
public sealed record AxisCover(
    string Name, string Unit, bool Matched, ImmutableArray<(double Low, double High)?> Ranges, ImmutableArray<double?> Means);
