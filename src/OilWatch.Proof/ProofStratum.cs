using System.Collections.Immutable;

namespace OilWatch.Proof;

/// <summary>What is compared with what: exposures of every group alike in corner, direction and load.</summary>
/// <param name="Label">For people, such as <c>C3L, 1.2 to 1.4 g</c>.</param>
/// <param name="Exposures">Of each group, all above 0.</param>
/// <param name="Events">Of each group.</param>
public sealed record ProofStratum(string Label, ImmutableArray<int> Exposures, ImmutableArray<int> Events);
