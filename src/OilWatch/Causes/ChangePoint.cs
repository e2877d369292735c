namespace OilWatch.Causes;

/// <summary>Where a run changed for good: two levels, by least squares.</summary>
/// <param name="Stretch">The stretch in which it changed, or -1.</param>
/// <param name="Sigma">How far the levels are apart, in standard errors; 0 without a change.</param>
internal readonly record struct ChangePoint(int Stretch, double Sigma)
{
    private const int Least = 6;
    private const int LeastSide = 3;
    private const double LeastSideShare = 0.12;
    private const double Floor = 1e-6;               // a run without any noise would make every change certain

    /// <summary>No change.</summary>
    public static ChangePoint None { get; } = new(-1, 0);

    /// <summary>The best split of a series into two levels, the second one lower.</summary>
    /// <param name="values">One value a stretch; NaN where it is not known.</param>
    public static ChangePoint Fall(ReadOnlySpan<double> values)
    {
        double total = 0, sum = 0, squares = 0;
        foreach (double value in values)
        {
            if (double.IsNaN(value)) continue;
            total++;
            sum += value;
            squares += value * value;
        }
        if (total < Least) return None;
        ChangePoint best = None;
        double least = double.PositiveInfinity, left = 0, leftSum = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (double.IsNaN(values[i])) continue;
            // The stretch in which it changes belongs to neither side.
            double right = total - left - 1, rightSum = sum - leftSum - values[i];
            double side = Math.Max(LeastSide, LeastSideShare * total);
            if (left >= side && right >= side)
            {
                double fall = (leftSum / left) - (rightSum / right);
                double within = Math.Max(0, squares - (values[i] * values[i]) - (leftSum * leftSum / left) - (rightSum * rightSum / right));
                if (fall > 0 && within < least)
                {
                    least = within;
                    best = new ChangePoint(i, fall / Math.Sqrt((within / (total - 2) * ((1 / left) + (1 / right))) + Floor));
                }
            }
            left++;
            leftSum += values[i];
        }
        return best;
    }
}
