using OilWatch.Synthesiser.Circuits;
using OilWatch.Synthesiser.Driving;

namespace OilWatch.Synthesiser.Truths;

/// <summary>Numbers the corners of a circuit and finds when they were driven through.</summary>
internal static class CornerFinder
{
    // A bend that a flying lap takes under this load is a kink in a straight.
    private const double LeastG = 0.4;

    // Where load begins and ends in a corner.
    private const double EdgeG = 0.3;

    private const double G = 9.80665;

    /// <summary>The corners: stretches of one direction over 0.3 g on a flying lap that reach 0.4 g.</summary>
    public static IReadOnlyList<TrueCorner> Find(Circuit circuit, double[] speeds)
    {
        var found = new List<(double From, double To, double Peak)>();
        int n = speeds.Length;
        double metres = circuit.LengthM / n;
        for (int i = 0; i < n; i++)
        {
            if (Math.Abs(LoadAt(i)) < EdgeG) continue;
            int from = i;
            double sign = Math.Sign(LoadAt(i));
            double peak = 0;
            while (i < n && LoadAt(i) * sign >= EdgeG)
            {
                if (Math.Abs(LoadAt(i)) > Math.Abs(peak)) peak = LoadAt(i);
                i++;
            }

            bool joins = found.Count > 0 && Math.Sign(found[^1].Peak) == Math.Sign(peak) && (from * metres) - found[^1].To < 25;
            if (joins) found[^1] = (found[^1].From, i * metres, Math.Abs(peak) > Math.Abs(found[^1].Peak) ? peak : found[^1].Peak);
            else found.Add((from * metres, i * metres, peak));
            i--;
        }

        found.RemoveAll(corner => Math.Abs(corner.Peak) < LeastG);
        return [.. found.Select((c, i) => new TrueCorner(
            FormattableString.Invariant($"C{i + 1}{(c.Peak > 0 ? 'L' : 'R')}"), c.Peak > 0 ? "left" : "right", c.From, c.To,
            Enumerable.Range(0, (int)(c.To - c.From) + 1).Min(m => 1 / Math.Max(Math.Abs(circuit.CurvatureAt(c.From + m)), 1e-6)), Math.Abs(c.Peak)))];

        double LoadAt(int i) => speeds[i] * speeds[i] * circuit.CurvatureAt(i * metres) / G;
    }

    /// <summary>When each corner was driven through, in order of time.</summary>
    public static IReadOnlyList<(string Label, double EntryS, double ExitS)> Passes(IReadOnlyList<TrueCorner> corners, Drive drive, double stepS)
    {
        var passes = new List<(string Label, double EntryS, double ExitS)>();
        int inside = -1, lap = 0;
        double entry = 0;
        for (int i = 0; i < drive.LapDistanceM.Length; i++)
        {
            double at = drive.LapDistanceM[i];
            int now = -1;
            for (int c = 0; c < corners.Count; c++)
                if (at >= corners[c].FromM && at <= corners[c].ToM) now = c;
            if (now == inside && drive.Lap[i] == lap) continue;
            if (inside >= 0) passes.Add((corners[inside].Label, entry, i * stepS));
            (inside, lap, entry) = (now, drive.Lap[i], i * stepS);
        }

        return passes;
    }
}
