using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Whether values go up or down over time, whatever the shape.</summary>
/// <param name="S">Pairs that rise less pairs that fall.</param>
/// <param name="Variance">Of S without trend, ties corrected.</param>
/// <param name="Z">(S ∓ 1)/√variance, 0 for S = 0: continuity corrected.</param>
/// <param name="OneSided">One-sided p of the normal approximation, in the direction of S.</param>
/// <param name="TwoSided">Two-sided p of the normal approximation.</param>
/// <param name="Tau">Kendall's tau-a, S over all pairs.</param>
/// <param name="ExactTwoSided">Exact two-sided p; null with ties or more than <see cref="ExactUpTo"/> values.</param>
/// <remarks>Sources: H. B. Mann, Econometrica 13 (1945) 245; M. G. Kendall, Rank Correlation Methods (1975).</remarks>
public sealed record MannKendall(int S, double Variance, double Z, double OneSided, double TwoSided, double Tau, double? ExactTwoSided)
{
    /// <summary>The longest series for which the exact distribution is computed.</summary>
    public const int ExactUpTo = 50;

    /// <summary>Tests a series in order of time.</summary>
    /// <param name="values">At least two, no NaN.</param>
    /// <exception cref="ArgumentException">Fewer than two values, or a NaN.</exception>
    public static MannKendall Of(IReadOnlyList<double> values)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count < 2) throw new ArgumentException("A trend needs at least two values.", nameof(values));
        if (values.Any(double.IsNaN)) throw new ArgumentException("NaN has no rank: leave it out first.", nameof(values));

        int n = values.Count, s = 0;
        for (int i = 0; i < n; i++)
        {
            for (int j = i + 1; j < n; j++) s += Math.Sign(values[j] - values[i]);
        }
        double ties = values.GroupBy(v => v).Sum(g => Term(g.Count()));
        double variance = (Term(n) - ties) / 18;
        double z = variance > 0 ? (s - Math.Sign(s)) / Math.Sqrt(variance) : 0;
        double one = s == 0 ? 0.5 : Normal.CDF(0, 1, -Math.Abs(z));
        return new(s, variance, z, one, Math.Min(1, 2 * one), s / (n * (n - 1) / 2.0), ties == 0 && n <= ExactUpTo ? Exact(n, s) : null);
    }

    private static double Term(double k) => k * (k - 1) * ((2 * k) + 5);

    /// <summary>P(|S| at least this) from the distribution of the number of inversions of a random order.</summary>
    private static double Exact(int n, int s)
    {
        double[] share = [1];
        for (int k = 2; k <= n; k++)
        {
            var next = new double[share.Length + k - 1];
            for (int i = 0; i < share.Length; i++)
            {
                for (int j = 0; j < k; j++) next[i + j] += share[i] / k;
            }
            share = next;
        }
        double p = 0;
        int pairs = n * (n - 1) / 2;
        for (int inversions = 0; inversions < share.Length; inversions++)
        {
            if (Math.Abs(pairs - (2 * inversions)) >= Math.Abs(s)) p += share[inversions];
        }
        return Math.Min(1, p);
    }
}
