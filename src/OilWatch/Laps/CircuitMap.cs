using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>The corners of a circuit, in the order of the lap.</summary>
/// <remarks>
/// With distances each corner has its place. Without them a corner is known by its turn in the order of lefts and rights; its
/// <see cref="Corner.FromM"/> and <see cref="Corner.ToM"/> are then NaN. A corner in which the start line lies begins before the end of
/// the lap and ends after its beginning: its <see cref="Corner.FromM"/> is the larger.
/// </remarks>
public sealed record CircuitMap
{
    /// <summary>Length of the reference lap, m; NaN where the log has no distance.</summary>
    public required double ReferenceLengthM { get; init; }

    /// <summary>The corners, numbered along the lap.</summary>
    public required ImmutableArray<Corner> Corners { get; init; }

    /// <summary>How many timed laps it was learnt from.</summary>
    public required int LapsUsed { get; init; }

    /// <summary>True when corners are known by their order only.</summary>
    public bool ByOrder => double.IsNaN(ReferenceLengthM);

    /// <summary>Where in the lap's time each corner is usually entered, 0 to 1; only with <see cref="ByOrder"/>.</summary>
    internal ImmutableArray<double> EntryShares { get; init; } = [];

    /// <summary>Usual duration of a lap, s; only with <see cref="ByOrder"/>.</summary>
    internal double ReferenceS { get; init; } = double.NaN;

    /// <summary>The corner at a distance after the line, or -1.</summary>
    /// <param name="lapDistanceM">Distance on the scale of the reference lap, m; NaN gives -1.</param>
    /// <param name="toleranceM">How far before its beginning and after its end a corner still counts, m, where no other corner is nearer.</param>
    public int CornerAt(double lapDistanceM, double toleranceM = 0)
    {
        if (!double.IsFinite(lapDistanceM) || ByOrder) return -1;
        double at = lapDistanceM < ReferenceLengthM && lapDistanceM >= 0 ? lapDistanceM : lapDistanceM % ReferenceLengthM;
        int best = -1;
        double bestM = toleranceM;
        ReadOnlySpan<Corner> corners = Corners.AsSpan();
        for (int i = 0; i < corners.Length; i++)
        {
            double outside = OutsideM(corners[i].FromM, corners[i].ToM, at);
            if (outside > bestM || (best >= 0 && outside == bestM)) continue;
            best = i;
            bestM = outside;
        }

        return best;
    }

    /// <summary>The nearest corner of a direction within a distance, or -1.</summary>
    internal int Nearest(double lapDistanceM, LoadDirection direction, double withinM)
    {
        if (!double.IsFinite(lapDistanceM) || ByOrder) return -1;
        double at = lapDistanceM % ReferenceLengthM;
        int best = -1;
        for (int i = 0; i < Corners.Length; i++)
        {
            double outside = OutsideM(Corners[i].FromM, Corners[i].ToM, at);
            if (Corners[i].Direction != direction || outside > withinM) continue;
            best = i;
            withinM = outside;
        }

        return best;
    }

    private double OutsideM(double fromM, double toM, double at)
    {
        bool inside = fromM <= toM ? at >= fromM && at <= toM : at >= fromM || at <= toM;
        if (inside) return 0;
        double before = Around(fromM - at), behind = Around(at - toM);
        return before < behind ? before : behind;
    }

    private double Around(double forward) => forward < 0 ? forward + ReferenceLengthM : forward;
}
