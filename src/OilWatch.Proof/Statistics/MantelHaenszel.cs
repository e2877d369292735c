using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>One ratio out of several strata, each compared within itself.</summary>
/// <param name="Ratio">First over second; infinite when the second has no weighted event, NaN when neither has.</param>
/// <param name="LogStandardError">Standard error of its natural logarithm; NaN when a side has no event.</param>
/// <param name="Limits">95 % limits, ratio · exp(±1.96 · standard error).</param>
/// <param name="ChiSquare">Test statistic, one degree of freedom.</param>
/// <param name="PValue">Its two-sided p.</param>
public sealed record MantelHaenszel(double Ratio, double LogStandardError, Limits Limits, double ChiSquare, double PValue)
{
    private const double Normal975 = 1.959963984540054;       // Φ⁻¹(0.975)

    /// <summary>Rate ratio over strata of counts with exposures; no continuity correction.</summary>
    /// <param name="strata">Events and exposure of the first group, then of the second. Strata without exposure on both sides count nothing.</param>
    /// <remarks>
    /// Σ d₁T₂/T over Σ d₂T₁/T; variance of the logarithm Σ (d₁+d₂)T₁T₂/T² over the product of the two. Source: S. Greenland, J. M. Robins,
    /// Biometrics 41 (1985) 55. Events are taken as independent: under clustering the limits are too narrow, see <see cref="ClusteredRates"/>.
    /// </remarks>
    public static MantelHaenszel RateRatio(IEnumerable<(double Events1, double Exposure1, double Events2, double Exposure2)> strata)
    {
        ArgumentNullException.ThrowIfNull(strata);
        double first = 0, second = 0, variance = 0, excess = 0;
        foreach ((double d1, double t1, double d2, double t2) in strata)
        {
            double t = t1 + t2;
            if (t1 <= 0 || t2 <= 0) continue;
            first += d1 * t2 / t;
            second += d2 * t1 / t;
            variance += (d1 + d2) * t1 * t2 / (t * t);
            excess += d1 - ((d1 + d2) * t1 / t);
        }
        if (variance <= 0) return new(double.NaN, double.NaN, new(0, double.PositiveInfinity), 0, 1);
        return From(first / second, Math.Sqrt(variance / (first * second)), excess * excess / variance);
    }

    /// <summary>Odds ratio over strata of fourfold tables.</summary>
    /// <param name="strata">Counts a, b in the first row and c, d in the second.</param>
    /// <param name="continuity">Subtract one half from the summed difference before squaring, as usually printed.</param>
    /// <remarks>Variance by J. Robins, N. Breslow, S. Greenland, Biometrics 42 (1986) 311.</remarks>
    public static MantelHaenszel OddsRatio(IEnumerable<(int A, int B, int C, int D)> strata, bool continuity = true)
    {
        ArgumentNullException.ThrowIfNull(strata);
        double r = 0, s = 0, pr = 0, ps = 0, qr = 0, qs = 0, excess = 0, variance = 0;
        foreach ((int a, int b, int c, int d) in strata)
        {
            double n = (double)a + b + c + d;
            if (n < 2) continue;
            double ri = (double)a * d / n, si = (double)b * c / n, p = (a + d) / n, q = (b + c) / n;
            (r, s) = (r + ri, s + si);
            (pr, ps, qr, qs) = (pr + (p * ri), ps + (p * si), qr + (q * ri), qs + (q * si));
            double row = a + b, column = a + c;
            excess += a - (row * column / n);
            variance += row * (n - row) * column * (n - column) / (n * n * (n - 1));
        }
        if (variance <= 0) return new(double.NaN, double.NaN, new(0, double.PositiveInfinity), 0, 1);
        double error = Math.Sqrt((pr / (2 * r * r)) + ((ps + qr) / (2 * r * s)) + (qs / (2 * s * s)));
        double moved = Math.Max(0, Math.Abs(excess) - (continuity ? 0.5 : 0));
        return From(r / s, error, moved * moved / variance);
    }

    private static MantelHaenszel From(double ratio, double error, double chiSquare)
    {
        if (!double.IsFinite(error)) error = double.NaN;
        Limits limits = double.IsNaN(error)
            ? new(0, double.PositiveInfinity)
            : new(ratio * Math.Exp(-Normal975 * error), ratio * Math.Exp(Normal975 * error));
        return new(ratio, error, limits, chiSquare, Math.Max(0, 1 - ChiSquared.CDF(1, chiSquare)));
    }
}
