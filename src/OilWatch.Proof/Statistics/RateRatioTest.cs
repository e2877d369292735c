using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Two Poisson rates compared exactly, given the total count.</summary>
/// <param name="Ratio">First rate over second; infinite when the second has no event, NaN when neither has.</param>
/// <param name="Limits">Exact 95 % limits of the ratio.</param>
/// <param name="Greater">One-sided p: this or more events in the first, were the rates equal.</param>
/// <param name="Less">One-sided p: this or fewer.</param>
/// <param name="TwoSided">Two-sided p: the sum over all outcomes no likelier than the one seen. The one this tool prints.</param>
/// <param name="Doubled">Twice the smaller tail, at most 1: the other convention in use.</param>
/// <param name="MidGreater">One-sided mid-p of <paramref name="Greater"/>: half of the observed outcome's probability left out.</param>
/// <remarks>
/// Given x₁ + x₂, x₁ is binomial with share T₁/(T₁+T₂). Source: J. Przyborowski, H. Wilenski, Biometrika 31 (1940) 313. The two-sided p by
/// likelihood and by doubling differ where T₁ ≠ T₂: both are given, the first is the one in reports.
/// </remarks>
public sealed record RateRatioTest(
    double Ratio, Limits Limits, double Greater, double Less, double TwoSided, double Doubled, double MidGreater)
{
    /// <summary>Compares two counts with their exposures.</summary>
    /// <param name="events1">Events in the first group, 0 or more.</param>
    /// <param name="exposure1">Its exposure, more than 0, any unit.</param>
    /// <param name="events2">Events in the second group.</param>
    /// <param name="exposure2">Its exposure in the same unit.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <exception cref="ArgumentOutOfRangeException">A negative count or an exposure that is not more than 0.</exception>
    public static RateRatioTest Of(int events1, double exposure1, int events2, double exposure2, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        Confidence.CheckCount(events1, nameof(events1));
        Confidence.CheckCount(events2, nameof(events2));
        if (exposure1 is not (> 0 and < double.PositiveInfinity)) throw new ArgumentOutOfRangeException(nameof(exposure1), exposure1, "An exposure is more than 0.");
        if (exposure2 is not (> 0 and < double.PositiveInfinity)) throw new ArgumentOutOfRangeException(nameof(exposure2), exposure2, "An exposure is more than 0.");

        int total = events1 + events2;
        if (total == 0) return new(double.NaN, new(0, double.PositiveInfinity), 1, 1, 1, 1, 1);

        double share = exposure1 / (exposure1 + exposure2);
        double seen = Binomial.PMF(share, total, events1);
        double less = Math.Min(1, Binomial.CDF(share, total, events1));
        double greater = events1 == 0 ? 1 : Math.Min(1, 1 - Binomial.CDF(share, total, events1 - 1));
        if (greater < 1e-6) greater = Tail(share, total, events1);
        Limits shares = ClopperPearson.Of(events1, total, confidence);
        double scale = exposure2 / exposure1;
        return new(
            events2 == 0 ? double.PositiveInfinity : events1 / exposure1 / (events2 / exposure2),
            new(Odds(shares.Low) * scale, Odds(shares.High) * scale),
            greater, less, TwoSidedP(share, total, seen), Math.Min(1, 2 * Math.Min(less, greater)), greater - (seen / 2));
    }

    private static double Odds(double share) => share >= 1 ? double.PositiveInfinity : share / (1 - share);

    private static double Tail(double share, int total, int from)
    {
        double sum = 0;
        for (int k = from; k <= total; k++) sum += Binomial.PMF(share, total, k);
        return sum;
    }

    private static double TwoSidedP(double share, int total, double seen)
    {
        double sum = 0;
        double limit = seen * (1 + 1e-7);       // outcomes equally likely but for rounding belong in the sum, as in R's binom.test
        for (int k = 0; k <= total; k++)
        {
            double p = Binomial.PMF(share, total, k);
            if (p <= limit) sum += p;
        }
        return Math.Min(1, sum);
    }
}
