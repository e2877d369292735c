using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Results;

namespace OilWatch.Laps;

/// <summary>Ranks corners by what they did to the engine.</summary>
public static class WorstCorners
{
    /// <summary>The corners with oil starvation, worst first: by pressure deficit, then by label.</summary>
    /// <param name="passes">Passes, joined with the alerts (<see cref="CornerTally.Join"/>).</param>
    /// <param name="alerts">All alerts, final; oil starvation of every severity counts, by its <see cref="Alert.Corner"/>.</param>
    public static ImmutableArray<CornerHarm> Rank(IReadOnlyList<CornerPass> passes, IEnumerable<Alert> alerts)
    {
        ArgumentNullException.ThrowIfNull(passes);
        ArgumentNullException.ThrowIfNull(alerts);
        ILookup<string, CornerPass> byCorner = passes.Where(pass => pass.Corner is not null).ToLookup(pass => pass.Corner!, StringComparer.Ordinal);
        return
        [
            .. alerts.Where(alert => alert.Kind == AlertKind.OilStarvation && alert.Corner is not null)
                .GroupBy(alert => alert.Corner!, StringComparer.Ordinal)
                .Select(group => Harm(group.Key, [.. group], [.. byCorner[group.Key]]))
                .OrderByDescending(harm => harm.DeficitKpaS)
                .ThenBy(harm => harm.Corner, StringComparer.Ordinal),
        ];
    }

    private static CornerHarm Harm(string corner, Alert[] alerts, CornerPass[] passes)
    {
        double[] times = [.. passes.Select(pass => pass.TimeToDropS).OfType<double>().Order()];
        return new()
        {
            Corner = corner,
            Direction = passes.Length > 0 ? passes[0].Direction : corner.EndsWith('L') ? LoadDirection.Left : LoadDirection.Right,
            Passes = passes.Length,
            Starved = passes.Count(pass => pass.Starved == true),
            StarvationS = alerts.Sum(alert => alert.DurationS ?? alert.End.SecondsSince(alert.Start)),
            StarvationRevolutions = alerts.Sum(alert => alert.Revolutions ?? 0),
            DeficitKpaS = alerts.Sum(alert => alert.DeficitKpaS ?? 0),
            MinKpa = alerts.Min(alert => alert.MinKpa),
            MinRatio = alerts.Min(alert => alert.MinRatio),
            MedianTimeToDropS = times.Length == 0 ? null
                : times.Length % 2 == 1 ? times[times.Length / 2]
                : (times[(times.Length / 2) - 1] + times[times.Length / 2]) / 2,
        };
    }
}
