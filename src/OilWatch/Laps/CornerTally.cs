using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>Brings passes through corners and alerts together.</summary>
public static class CornerTally
{
    /// <summary>A drop that begins this long after the corner still belongs to it, s.</summary>
    public const double AfterS = CornerLabels.AfterS;

    /// <summary>Fills in which passes were starved and after how long.</summary>
    /// <param name="passes">Passes in order of entry.</param>
    /// <param name="alerts">All alerts, final.</param>
    /// <returns>The same passes with <see cref="CornerPass.Starved"/> and <see cref="CornerPass.TimeToDropS"/>, and with the alert's worst pressure where that is lower.</returns>
    /// <remarks>
    /// An oil-starvation alert of any severity belongs to the pass in which it began, from entry to <see cref="AfterS"/> after exit. Where two
    /// passes qualify, to one whose direction is the alert's; else to the one entered last. A pass without an alert is
    /// not starved only where pressure could be judged for at least half of it; otherwise it is not known.
    /// </remarks>
    public static ImmutableArray<CornerPass> Join(IReadOnlyList<CornerPass> passes, IEnumerable<Alert> alerts)
    {
        ArgumentNullException.ThrowIfNull(passes);
        ArgumentNullException.ThrowIfNull(alerts);
        ImmutableArray<CornerPass>.Builder joined = ImmutableArray.CreateBuilder<CornerPass>(passes.Count);
        foreach (CornerPass pass in passes)
        {
            bool judged = pass.OilPressureMinRatio is not null && pass.JudgedS >= 0.5 * pass.Exit.SecondsSince(pass.Entry);
            joined.Add(pass with { Starved = judged ? false : null, TimeToDropS = null });
        }

        foreach (Alert alert in alerts.Where(alert => alert.Kind == AlertKind.OilStarvation).OrderBy(alert => alert.Start))
        {
            int index = PassOf(joined, alert);
            if (index < 0) continue;
            CornerPass pass = joined[index];
            joined[index] = pass with
            {
                Starved = true,
                TimeToDropS = pass.TimeToDropS ?? Math.Max(0, alert.Start.SecondsSince(pass.Entry)),
                OilPressureMinKpa = Lower(pass.OilPressureMinKpa, alert.MinKpa),
                OilPressureMinRatio = Lower(pass.OilPressureMinRatio, alert.MinRatio),
            };
        }

        return joined.MoveToImmutable();
    }

    private static int PassOf(ImmutableArray<CornerPass>.Builder passes, Alert alert)
    {
        int low = 0, high = passes.Count;     // the first pass entered after the start
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (passes[middle].Entry <= alert.Start) low = middle + 1;
            else high = middle;
        }

        int last = -1;
        for (int i = low - 1; i >= 0 && i >= low - 3; i--)
        {
            if (alert.Start.SecondsSince(passes[i].Exit) >= AfterS) continue;
            if (passes[i].Direction == alert.Direction) return i;
            if (last < 0) last = i;
        }

        return last;
    }

    private static double? Lower(double? a, double? b) => a is null ? b : b is null ? a : Math.Min(a.Value, b.Value);
}
