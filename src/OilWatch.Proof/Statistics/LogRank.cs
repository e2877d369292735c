using System.Collections.Immutable;
using MathNet.Numerics;

namespace OilWatch.Proof.Statistics;

/// <summary>Whether two or more groups differ in their time to the event.</summary>
/// <param name="Observed">Events of each group.</param>
/// <param name="Expected">Events that each would have had, were all alike.</param>
/// <param name="ChiSquare">Test statistic; 0 where there is nothing to compare.</param>
/// <param name="DegreesOfFreedom">Groups less one.</param>
/// <param name="PValue">Its p.</param>
/// <remarks>Sources: N. Mantel, Cancer Chemother. Rep. 50 (1966) 163; R. Peto, J. Peto, J. R. Stat. Soc. A 135 (1972) 185. Trials are taken as independent.</remarks>
public sealed record LogRank(
    ImmutableArray<int> Observed, ImmutableArray<double> Expected, double ChiSquare, int DegreesOfFreedom, double PValue)
{
    /// <summary>Compares groups.</summary>
    /// <param name="groups">At least two, each with times, s, and whether they ended in an event.</param>
    /// <exception cref="ArgumentException">Fewer than two groups.</exception>
    public static LogRank Of(params IReadOnlyList<IReadOnlyList<(double TimeS, bool Event)>> groups)
    {
        ArgumentNullException.ThrowIfNull(groups);
        if (groups.Count < 2) throw new ArgumentException("There are at least two groups to compare.", nameof(groups));

        int k = groups.Count;
        (double TimeS, bool Event, int Group)[] sorted =
            [.. groups.SelectMany((g, i) => g.Select(t => (t.TimeS, t.Event, i))).OrderBy(t => t.TimeS)];
        double[] atRisk = [.. groups.Select(g => (double)g.Count)];
        var observed = new int[k];
        var expected = new double[k];
        var variance = new double[k - 1, k - 1];
        double left = sorted.Length;
        for (int i = 0; i < sorted.Length;)
        {
            int to = i, events = 0;
            var gone = new double[k];
            for (; to < sorted.Length && sorted[to].TimeS == sorted[i].TimeS; to++)
            {
                gone[sorted[to].Group]++;
                if (!sorted[to].Event) continue;
                events++;
                observed[sorted[to].Group]++;
            }
            if (events > 0) Add(atRisk, left, events, expected, variance);
            for (int g = 0; g < k; g++) atRisk[g] -= gone[g];
            left -= to - i;
            i = to;
        }

        double chiSquare = Quadratic(variance, [.. observed.Take(k - 1).Select((o, g) => o - expected[g])]);
        return new([.. observed], [.. expected], chiSquare, k - 1, chiSquare > 0 ? UpperTail(k - 1, chiSquare) : 1);
    }

    private static void Add(double[] atRisk, double left, int events, double[] expected, double[,] variance)
    {
        for (int g = 0; g < atRisk.Length; g++) expected[g] += events * atRisk[g] / left;
        if (left <= 1) return;
        double factor = events * (left - events) / (left - 1);
        for (int g = 0; g < variance.GetLength(0); g++)
        {
            for (int h = 0; h < variance.GetLength(0); h++)
                variance[g, h] += factor * atRisk[g] / left * ((g == h ? 1 : 0) - (atRisk[h] / left));
        }
    }

    /// <summary>excessᵀ · variance⁻¹ · excess by Cholesky's elimination; groups without variance of their own are left out.</summary>
    private static double Quadratic(double[,] variance, double[] excess)
    {
        int n = excess.Length;
        double sum = 0;
        for (int i = 0; i < n; i++)
        {
            double pivot = variance[i, i];
            if (pivot <= 1e-12) continue;
            sum += excess[i] * excess[i] / pivot;
            for (int j = i + 1; j < n; j++)
            {
                double factor = variance[j, i] / pivot;
                excess[j] -= factor * excess[i];
                for (int l = i + 1; l < n; l++) variance[j, l] -= factor * variance[i, l];
            }
        }
        return sum;
    }

    private static double UpperTail(int freedom, double chiSquare) => SpecialFunctions.GammaUpperRegularized(freedom / 2.0, chiSquare / 2);
}
