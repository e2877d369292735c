using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>Finds the corners in a lap's usual lateral acceleration.</summary>
internal static class CornerFinder
{
    private const double MinCornerS = 0.5;

    /// <summary>Finds them.</summary>
    /// <param name="lateralG">Lateral acceleration at the middle of each cell of a closed lap, g; NaN where not known.</param>
    /// <param name="speedMps">Speed in each cell, m/s; NaN where not known.</param>
    /// <param name="lengthM">Length of the lap, m.</param>
    /// <param name="options">Thresholds.</param>
    /// <returns>In the order of the lap, by the place where the middle of the load is.</returns>
    public static ImmutableArray<Corner> Find(
        ReadOnlySpan<double> lateralG, ReadOnlySpan<double> speedMps, double lengthM, LoadOptions options)
    {
        int cells = lateralG.Length;
        double cellM = lengthM / cells;
        int calmest = 0;
        for (int i = 1; i < cells; i++)
            if (Load(lateralG[i]) < Load(lateralG[calmest])) calmest = i;

        List<Piece> pieces = Pieces(lateralG, calmest, options);
        Merge(pieces, cells, options.CornerMergeM / cellM);
        var found = new List<(double Middle, Piece Piece)>();
        foreach (Piece piece in pieces)
        {
            if ((piece.To - piece.From) * cellM < options.CornerMinM) continue;
            double seconds = 0, weight = 0, moment = 0;
            for (int i = (int)Math.Ceiling(piece.From - 0.5); i < piece.To - 0.5; i++)
            {
                double load = Load(lateralG[i % cells]), speed = speedMps[i % cells];
                weight += load;
                moment += load * (i + 0.5);
                if (speed > 0) seconds += cellM / speed;
                else seconds += MinCornerS;     // not known: no reason to leave it out
            }

            if (seconds < MinCornerS || weight == 0) continue;
            found.Add((moment / weight % cells, piece));
        }

        found.Sort((a, b) => a.Middle.CompareTo(b.Middle));
        var corners = ImmutableArray.CreateBuilder<Corner>(found.Count);
        foreach ((_, Piece piece) in found)
        {
            bool whole = piece.To - piece.From >= cells;
            corners.Add(Named(
                corners.Count,
                piece.Left ? LoadDirection.Left : LoadDirection.Right,
                whole ? 0 : piece.From % cells * cellM,
                whole ? lengthM : piece.To % cells * cellM));
        }

        return corners.MoveToImmutable();
    }

    /// <summary>A corner with its label, such as <c>C3L</c> for the third.</summary>
    public static Corner Named(int index, LoadDirection direction, double fromM, double toM) =>
        new(index, FormattableString.Invariant($"C{index + 1}{(direction == LoadDirection.Left ? 'L' : 'R')}"), direction, fromM, toM);

    private static double Load(double g) => double.IsNaN(g) ? 0 : Math.Abs(g);

    // Runs of one sign at or above the lower threshold that reach the upper one, from the calmest cell once round;
    // bounds in cells, interpolated to where the lower threshold is crossed. A bound may lie beyond the last cell.
    private static List<Piece> Pieces(ReadOnlySpan<double> g, int start, LoadOptions options)
    {
        int cells = g.Length;
        var pieces = new List<Piece>();
        int at = start, end = start + cells;
        while (at < end)
        {
            if (Load(g[at % cells]) < options.CornerLeaveG)
            {
                at++;
                continue;
            }

            int first = at;
            bool left = g[at % cells] > 0;
            double peak = 0;
            while (at < end && Load(g[at % cells]) >= options.CornerLeaveG && g[at % cells] > 0 == left)
                peak = Math.Max(peak, Load(g[at++ % cells]));
            if (peak < options.CornerEnterG) continue;
            double from = first - Share(g[first % cells], g[(first + cells - 1) % cells], options.CornerLeaveG, left);
            double to = at - 1 + Share(g[(at - 1) % cells], g[at % cells], options.CornerLeaveG, left);
            pieces.Add(new Piece(left, Math.Max(from + 0.5, 0), to + 0.5));
        }

        return pieces;
    }

    // How much of the way from a loaded cell to its neighbour is still above the threshold.
    private static double Share(double loaded, double beyond, double threshold, bool left)
    {
        if (double.IsNaN(beyond)) return 0.5;
        double sign = left ? 1 : -1;
        double high = loaded * sign, low = beyond * sign;
        return high > low ? Math.Clamp((high - threshold) / (high - low), 0, 1) : 0.5;
    }

    private static void Merge(List<Piece> pieces, int cells, double mergeCells)
    {
        for (int i = 0; i + 1 < pieces.Count;)
        {
            Piece piece = pieces[i], next = pieces[i + 1];
            if (piece.Left != next.Left || next.From - piece.To > mergeCells)
            {
                i++;
                continue;
            }

            pieces[i] = piece with { To = next.To };
            pieces.RemoveAt(i + 1);
        }

        // The last and the first may be one across the calmest cell.
        if (pieces.Count < 2) return;
        Piece first = pieces[0], last = pieces[^1];
        if (first.Left != last.Left || first.From + cells - last.To > mergeCells) return;
        pieces[^1] = last with { To = first.To + cells };
        pieces.RemoveAt(0);
    }

    private readonly record struct Piece(bool Left, double From, double To);
}
