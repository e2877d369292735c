using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Exact limits of a Poisson mean.</summary>
/// <remarks>χ²(α/2; 2x)/2 and χ²(1 − α/2; 2x + 2)/2. Source: F. Garwood, Biometrika 28 (1936) 437.</remarks>
public static class Garwood
{
    /// <summary>Two-sided limits of the mean count.</summary>
    /// <param name="events">Events counted, 0 or more; effective counts need not be whole.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <returns>Limits in events. Divide by the exposure for a rate.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A negative count, or a confidence outside 0 to 1.</exception>
    public static Limits Of(double events, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        double tail = (1 - confidence) / 2;
        return new(Lower(events, 1 - tail), Upper(events, 1 - tail));
    }

    /// <summary>One-sided upper limit of the mean count.</summary>
    /// <param name="events">Events counted, 0 or more.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <returns>Events; 2.995732 for none counted at 0.95, from which the rule of three.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A negative count, or a confidence outside 0 to 1.</exception>
    public static double Upper(double events, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        Confidence.CheckCount(events, nameof(events));
        return ChiSquared.InvCDF((2 * events) + 2, confidence) / 2;
    }

    /// <summary>One-sided lower limit of the mean count.</summary>
    /// <param name="events">Events counted, 0 or more.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <returns>Events; 0 for none counted.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A negative count, or a confidence outside 0 to 1.</exception>
    public static double Lower(double events, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        Confidence.CheckCount(events, nameof(events));
        return events == 0 ? 0 : ChiSquared.InvCDF(2 * events, 1 - confidence) / 2;
    }
}
