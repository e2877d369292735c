using System.Collections.Immutable;

namespace OilWatch.Proof;

/// <summary>Exposures that do not count, and why.</summary>
/// <param name="Why">For people.</param>
/// <param name="Exposures">How many of each group.</param>
public sealed record LeftOut(string Why, ImmutableArray<int> Exposures);
