namespace OilWatch.Pressure;

/// <summary>The few robust statistics that the fit needs.</summary>
internal static class Robust
{
    /// <summary>MAD to standard deviation for a normal distribution: 1/Φ⁻¹(3/4).</summary>
    public const double MadToSigma = 1.482602218505602;

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
    /// <param name="values">Sorted in place.</param>
    /// <param name="share">0 to 1.</param>
    public static double Quantile(Span<double> values, double share)
    {
        if (values.IsEmpty) return double.NaN;
        values.Sort();
        double place = share * (values.Length - 1);
        int below = (int)place;
        return below + 1 >= values.Length ? values[^1] : values[below] + ((place - below) * (values[below + 1] - values[below]));
    }
}
