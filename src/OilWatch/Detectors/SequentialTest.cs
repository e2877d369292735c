namespace OilWatch.Detectors;

/// <summary>Run lengths of the one-sided cumulative sum test for independent, normal readings.</summary>
/// <remarks>
/// C = max(0, C + z − k), called when C ≥ h, with z in standard deviations. Source: E. S. Page, Biometrika 41 (1954) 100; run lengths by
/// D. Siegmund, Sequential Analysis (1985): b = h + 1.166, D = shift − k, ARL = (exp(−2Db) + 2Db − 1) / (2D²), b² at D = 0.
/// </remarks>
public static class SequentialTest
{
    /// <summary>Mean number of readings until the test calls.</summary>
    /// <param name="reference">k, standard deviations, &gt; 0.</param>
    /// <param name="decision">h, standard deviations, 0 or more.</param>
    /// <param name="shift">How far the mean is displaced, standard deviations; 0 for the mean run between false calls.</param>
    public static double RunLength(double reference, double decision, double shift)
    {
        double b = decision + 1.166;
        double d = shift - reference;
        return Math.Abs(d) < 1e-9 ? b * b : (Math.Exp(-2 * d * b) + (2 * d * b) - 1) / (2 * d * d);
    }

    /// <summary>The smallest decision limit whose mean run between false calls is at least <paramref name="runLength"/>.</summary>
    /// <param name="reference">k, standard deviations, &gt; 0.</param>
    /// <param name="runLength">Readings between false calls, &gt; 1.</param>
    public static double DecisionFor(double reference, double runLength)
    {
        double low = 0, high = 1;
        while (RunLength(reference, high, 0) < runLength && high < 1e4) high *= 2;
        if (RunLength(reference, 0, 0) >= runLength) return 0;
        for (int i = 0; i < 60; i++)
        {
            double middle = 0.5 * (low + high);
            if (RunLength(reference, middle, 0) < runLength) low = middle;
            else high = middle;
        }
        return high;
    }
}
