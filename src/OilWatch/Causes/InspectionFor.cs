using System.Collections.Immutable;

namespace OilWatch.Causes;

/// <summary>What to look at because of some causes, most telling first, without repeats.</summary>
/// <param name="causes">The causes, likeliest first.</param>
internal delegate ImmutableArray<string> InspectionFor(ReadOnlySpan<Cause> causes);
