using System.Numerics;

namespace OilWatch.Pressure;

/// <summary>The few robust statistics that the fit needs.</summary>
internal static class Robust
{
    /// <summary>MAD to standard deviation for a normal distribution: 1/Φ⁻¹(3/4).</summary>
    public const double MadToSigma = 1.482602218505602;

    private const int FewEnoughToSort = 12;

    /// <summary>
    /// Tukey's biweight, narrower on the low side: pressure that is missing is what is looked for, so it must not pull the
    /// healthy curve down, while readings a little high are only noise.
    /// </summary>
    /// <param name="residual">Measured less healthy, kPa.</param>
    /// <param name="scale">One standard deviation, kPa, &gt; 0.</param>
    public static double Weight(double residual, double scale)
    {
        double u = residual / ((residual < 0 ? 3.2 : 5.0) * scale);
        double left = 1 - (u * u);
        return left <= 0 ? 0 : left * left;
    }

    /// <summary>The quantile of values that may be reordered; NaN when there are none.</summary>
    /// <param name="values">Reordered in place. NaN counts as the lowest.</param>
    /// <param name="share">0 to 1.</param>
    public static double Quantile(Span<double> values, double share)
    {
        if (values.IsEmpty) return double.NaN;
        double place = share * (values.Length - 1);
        int below = (int)place;
        double low = Ordered(values, below);
        if (below + 1 >= values.Length) return low;
        double next = double.PositiveInfinity;
        foreach (double value in values[(below + 1)..])
            if (value < next) next = value;
        return low + ((place - below) * (next - low));
    }

    /// <summary>
    /// The value that sorting would put at a place; what is before it is not larger then, what is behind it not smaller.
    /// Source: C. A. R. Hoare, Algorithm 65 (FIND), Comm. ACM 4 (1961) 321, with the middle of three as pivot. Values that keep the parts uneven are sorted.
    /// </summary>
    private static double Ordered(Span<double> values, int place)
    {
        int from = LowestFirst(values), to = values.Length - 1;
        if (place < from) return double.NaN;
        for (int tries = 2 * BitOperations.Log2((uint)values.Length); to - from >= FewEnoughToSort && tries > 0; tries--)
        {
            double pivot = Middle(values[from], values[(from + to) >>> 1], values[to]);
            int up = from, down = to;
            while (up <= down)
            {
                while (values[up] < pivot) up++;
                while (values[down] > pivot) down--;
                if (up > down) break;
                (values[up], values[down]) = (values[down], values[up]);
                up++;
                down--;
            }
            if (place <= down) to = down;
            else if (place >= up) from = up;
            else return values[place];
        }
        values[from..(to + 1)].Sort();
        return values[place];
    }

    private static double Middle(double one, double other, double third) => Math.Max(Math.Min(one, other), Math.Min(Math.Max(one, other), third));

    /// <summary>Puts what is NaN first, as sorting does; how many there are.</summary>
    private static int LowestFirst(Span<double> values)
    {
        int count = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (!double.IsNaN(values[i])) continue;
            (values[count], values[i]) = (values[i], values[count]);
            count++;
        }
        return count;
    }
}
