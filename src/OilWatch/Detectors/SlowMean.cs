namespace OilWatch.Detectors;

/// <summary>A mean over about the last fifty values.</summary>
internal static class SlowMean
{
    private const double Share = 0.02;
    private const double Nothing = 1e-12;              // a mean that dies away must not end among the numbers too small to be quick
    private const double MostUsuals = 4;

    /// <summary>Moves a mean of values that are not negative towards one more.</summary>
    public static void Follow(ref double mean, double value)
    {
        mean += Share * (value - mean);
        if (mean < Nothing) mean = 0;
    }

    /// <summary>Moves a usual step towards one more, of which no more counts than four usual ones and a little.</summary>
    /// <param name="usual">The usual step.</param>
    /// <param name="step">One more, not negative.</param>
    /// <param name="beyond">The little.</param>
    public static void FollowStep(ref double usual, double step, double beyond)
    {
        double most = (MostUsuals * usual) + beyond;
        Follow(ref usual, step < most ? step : most);
    }
}
