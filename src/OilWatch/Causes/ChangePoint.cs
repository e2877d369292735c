namespace OilWatch.Causes;

/// <summary>Where a run changed for good: two levels.</summary>
/// <param name="Stretch">The stretch in which it changed, or -1.</param>
/// <param name="Sigma">How far the levels are apart, in standard errors; 0 without a change.</param>
internal readonly record struct ChangePoint(int Stretch, double Sigma)
{
    private const int LeastSide = 3;
    private const double Floor = 1e-6;               // a run without any noise would make every change certain

    /// <summary>No change.</summary>
    public static ChangePoint None { get; } = new(-1, 0);

    /// <summary>The surest fall of a series from one level to a lower one, each side no longer than a window.</summary>
    /// <remarks>
    /// A window, because what is expected may follow a change that lasts: soon after it the fall is there, a few minutes later it may have been learned as healthy.
    /// </remarks>
    /// <param name="values">One value a stretch; NaN where it is not known.</param>
    /// <param name="window">Most values on each side.</param>
    public static ChangePoint Fall(ReadOnlySpan<double> values, int window)
    {
        ChangePoint best = None;
        for (int i = LeastSide; i < values.Length - LeastSide; i++)
        {
            if (double.IsNaN(values[i])) continue;
            // The stretch in which it changes belongs to neither side.
            Side before = Of(values, i - 1, -1, window), after = Of(values, i + 1, 1, window);
            double fall = before.Mean - after.Mean;
            if (before.Count < LeastSide || after.Count < LeastSide || !(fall > 0)) continue;
            double variance = (before.Squares + after.Squares) / (before.Count + after.Count - 2);
            double sigma = fall / Math.Sqrt((variance * ((1 / before.Count) + (1 / after.Count))) + Floor);
            if (sigma > best.Sigma) best = new ChangePoint(i, sigma);
        }
        return best;
    }

    private static Side Of(ReadOnlySpan<double> values, int from, int step, int window)
    {
        double count = 0, mean = 0, squares = 0;
        for (int i = from; i >= 0 && i < values.Length && count < window; i += step)
        {
            if (double.IsNaN(values[i])) continue;
            count++;
            double apart = values[i] - mean;
            mean += apart / count;
            squares += apart * (values[i] - mean);
        }
        return new Side(count, mean, squares);
    }

    private readonly record struct Side(double Count, double Mean, double Squares);
}
