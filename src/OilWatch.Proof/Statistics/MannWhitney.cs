using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Whether values of one group tend to be larger than those of another.</summary>
/// <param name="U">Pairs in which the first is larger, ties half: the statistic of the first group.</param>
/// <param name="Exact">Whether the p-values are from the exact permutation distribution, ties included.</param>
/// <param name="Greater">One-sided p: the first group tends to larger values.</param>
/// <param name="Less">One-sided p: the first group tends to smaller values.</param>
/// <param name="TwoSided">Two-sided p: as far from the mean of U or farther, either way.</param>
/// <param name="NormalTwoSided">Two-sided p of the normal approximation, ties corrected, without continuity correction.</param>
/// <param name="NormalContinuityTwoSided">The same with continuity correction.</param>
/// <param name="Shift">Hodges-Lehmann estimate: median of all differences first less second, in the unit of the values.</param>
/// <param name="ShiftLimits">95 % limits of the shift: exact where there are no ties, by the normal approximation otherwise.</param>
/// <param name="Delta">Cliff's delta, 2U/(nm) − 1: −1 to 1, share of pairs larger less share smaller.</param>
/// <remarks>
/// Sources: H. B. Mann, D. R. Whitney, Ann. Math. Stat. 18 (1947) 50; M. Hollander, D. A. Wolfe, Nonparametric Statistical Methods (1973);
/// N. Cliff, Psychological Bulletin 114 (1993) 494. Values are taken as independent.
/// </remarks>
public sealed record MannWhitney(
    double U, bool Exact, double Greater, double Less, double TwoSided, double NormalTwoSided, double NormalContinuityTwoSided,
    double Shift, Limits ShiftLimits, double Delta)
{
    /// <summary>The largest sum of both sizes for which the exact distribution is computed.</summary>
    public const int ExactUpTo = 60;

    /// <summary>Compares two groups.</summary>
    /// <param name="first">Values of the first group, at least one, no NaN.</param>
    /// <param name="second">Values of the second group, at least one, no NaN.</param>
    /// <param name="confidence">Of the shift's limits.</param>
    /// <exception cref="ArgumentException">An empty group or a NaN.</exception>
    public static MannWhitney Of(IReadOnlyList<double> first, IReadOnlyList<double> second, double confidence = 0.95)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        Confidence.Check(confidence);
        if (first.Count == 0 || second.Count == 0) throw new ArgumentException("Both groups have at least one value.", nameof(first));
        if (first.Any(double.IsNaN) || second.Any(double.IsNaN)) throw new ArgumentException("NaN has no rank: leave it out first.", nameof(first));

        int n = first.Count, m = second.Count, all = n + m;
        (int[] doubledRanks, double tieSum) = DoubledRanks([.. first, .. second]);
        long doubledSum = 0;
        for (int i = 0; i < n; i++) doubledSum += doubledRanks[i];
        double u = (doubledSum / 2.0) - (n * (n + 1.0) / 2);

        double mean = n * (double)m / 2;
        double variance = n * (double)m / 12 * (all + 1 - (tieSum / (all * (all - 1.0))));
        double sigma = Math.Sqrt(Math.Max(0, variance));
        double away = Math.Abs(u - mean);
        double plain = sigma > 0 ? 2 * Normal.CDF(0, 1, -away / sigma) : 1;
        double corrected = sigma > 0 ? Math.Min(1, 2 * Normal.CDF(0, 1, -Math.Max(0, away - 0.5) / sigma)) : 1;

        bool exact = all <= ExactUpTo;
        double greater, less, twoSided;
        if (exact)
        {
            (greater, less, twoSided) = Permutation(doubledRanks, n, doubledSum);
        }
        else
        {
            greater = sigma > 0 ? Normal.CDF(0, 1, -(u - mean - 0.5) / sigma) : 1;
            less = sigma > 0 ? Normal.CDF(0, 1, (u - mean + 0.5) / sigma) : 1;
            twoSided = corrected;
        }

        double[] differences = [.. first.SelectMany(x => second.Select(y => x - y)).Order()];
        int outside = exact && tieSum == 0
            ? ExactQuantile(n, m, (1 - confidence) / 2)
            : (int)Math.Max(1, Math.Round(mean + (Normal.InvCDF(0, 1, (1 - confidence) / 2) * sigma)));
        var limits = new Limits(
            differences[Math.Clamp(outside - 1, 0, differences.Length - 1)],
            differences[Math.Clamp(differences.Length - outside, 0, differences.Length - 1)]);
        return new(u, exact, greater, less, twoSided, plain, corrected, Median(differences), limits, (2 * u / (n * (double)m)) - 1);
    }

    private static double Median(double[] sorted) =>
        0.5 * (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]);

    private static (int[] Doubled, double TieSum) DoubledRanks(double[] values)
    {
        int[] order = [.. Enumerable.Range(0, values.Length).OrderBy(i => values[i])];
        var doubled = new int[values.Length];
        double ties = 0;
        for (int from = 0; from < order.Length;)
        {
            int to = from;
            while (to + 1 < order.Length && values[order[to + 1]] == values[order[from]]) to++;
            for (int k = from; k <= to; k++) doubled[order[k]] = from + to + 2;
            double t = to - from + 1;
            ties += (t * t * t) - t;
            from = to + 1;
        }
        return (doubled, ties);
    }

    /// <summary>Counts the ways to choose n of the ranks by their sum.</summary>
    private static double[] WaysBySum(int[] doubledRanks, int n)
    {
        int top = doubledRanks.Sum();
        var ways = new double[n + 1][];
        for (int k = 0; k <= n; k++) ways[k] = new double[top + 1];
        ways[0][0] = 1;
        foreach (int rank in doubledRanks)
        {
            for (int k = n; k >= 1; k--)
            {
                for (int sum = top; sum >= rank; sum--) ways[k][sum] += ways[k - 1][sum - rank];
            }
        }
        return ways[n];
    }

    private static (double Greater, double Less, double TwoSided) Permutation(int[] doubledRanks, int n, long seen)
    {
        double[] ways = WaysBySum(doubledRanks, n);
        double total = ways.Sum(), greater = 0, less = 0, away = 0;
        long twiceMean = (long)n * (doubledRanks.Length + 1) * 2;      // 2 · E(doubled sum), whole
        for (int sum = 0; sum < ways.Length; sum++)
        {
            if (sum >= seen) greater += ways[sum];
            if (sum <= seen) less += ways[sum];
            if (Math.Abs((2L * sum) - twiceMean) >= Math.Abs((2 * seen) - twiceMean)) away += ways[sum];
        }
        return (greater / total, less / total, away / total);
    }

    /// <summary>The smallest u whose cumulative probability reaches the tail, at least 1: R's qwilcox.</summary>
    private static int ExactQuantile(int n, int m, double tail)
    {
        double[] ways = WaysBySum([.. Enumerable.Range(1, n + m)], n);
        double total = ways.Sum(), sum = 0;
        int least = n * (n + 1) / 2;
        for (int u = 0; u <= n * m; u++)
        {
            sum += ways[least + u] / total;
            if (sum >= tail) return Math.Max(1, u);
        }
        return 1;
    }
}
