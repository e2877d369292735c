using OilWatch.Cars;

namespace OilWatch.Causes;

/// <summary>One thing to look at.</summary>
/// <param name="Look">What, as a builder would say it.</param>
/// <param name="Source"><c>common practice</c>, or where the advice comes from.</param>
/// <param name="Only">The lubrication on which it makes sense, or null for both.</param>
public sealed record InspectionItem(string Look, string Source, Lubrication? Only);
