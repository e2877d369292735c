namespace OilWatch.Channels;

/// <summary>What the first part of a log shows of a channel's values, in the channel's own unit.</summary>
/// <param name="Count">Readings with a value.</param>
/// <param name="Min">Smallest value; NaN without readings.</param>
/// <param name="Max">Largest value.</param>
/// <param name="Median">Middle value.</param>
/// <param name="Low5">The value that 5 % of the readings do not pass.</param>
/// <param name="High95">The value that 95 % of the readings do not pass.</param>
/// <param name="Distinct">How many different values there are.</param>
public readonly record struct ChannelSample(
    long Count, double Min, double Max, double Median, double Low5, double High95, long Distinct)
{
    /// <summary>A channel without any reading.</summary>
    public static ChannelSample Empty { get; } = new(0, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, 0);

    /// <summary>The largest size of a value, leaving out the 5 % at either end.</summary>
    internal double UsualSize => Math.Max(Math.Abs(Low5), Math.Abs(High95));

    /// <summary>The largest size of a value.</summary>
    internal double LargestSize => Math.Max(Math.Abs(Min), Math.Abs(Max));

    /// <summary>The sample of a stretch of values.</summary>
    /// <param name="values">Values in the channel's own unit, in any order; those that are not finite are left out.</param>
    public static ChannelSample Of(ReadOnlySpan<double> values)
    {
        double[] sorted = new double[values.Length];
        int count = 0;
        foreach (double value in values)
        {
            if (double.IsFinite(value)) sorted[count++] = value;
        }
        if (count == 0) return Empty;

        Array.Sort(sorted, 0, count);
        long distinct = 1;
        for (int i = 1; i < count; i++)
        {
            if (sorted[i] != sorted[i - 1]) distinct++;
        }
        return new ChannelSample(
            count, sorted[0], sorted[count - 1],
            Quantile(sorted, count, 0.5), Quantile(sorted, count, 0.05), Quantile(sorted, count, 0.95), distinct);
    }

    private static double Quantile(double[] sorted, int count, double part)
    {
        double place = part * (count - 1);
        int below = (int)place;
        double rest = place - below;
        // The form without a difference cannot overflow to infinity and back to NaN.
        return below + 1 < count ? (sorted[below] * (1 - rest)) + (sorted[below + 1] * rest) : sorted[below];
    }
}
