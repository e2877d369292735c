using System.Collections.Immutable;

namespace OilWatch.Cars;

/// <summary>Every threshold that the car file may change.</summary>
public static class LimitTable
{
    /// <summary>All thresholds with their defaults, section by section.</summary>
    public static ImmutableArray<LimitRow> All { get; } = Rows(AnalysisOptions.Default);

    /// <summary>All thresholds with the values of <paramref name="options"/> in the place of the defaults.</summary>
    /// <param name="options">The options to list.</param>
    public static ImmutableArray<LimitRow> Rows(AnalysisOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        return
        [
            .. LimitSections.All.SelectMany(section => section.Limits.Select((limit, index) => new LimitRow(
                section.Name, limit.Key, limit.Unit, section.Get(options, index), limit.Min, limit.Max, limit.Meaning, limit.Source))),
        ];
    }
}
