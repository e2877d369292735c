using System.Collections.Immutable;

namespace OilWatch.Proof.Statistics;

/// <summary>Bootstrap that draws whole clusters, so that what belongs together stays together.</summary>
/// <remarks>
/// Within each stratum (such as a group, or a session) as many clusters (such as laps) are drawn with replacement as it has. Source: A. C. Davison, D. V. Hinkley, Bootstrap Methods
/// and their Application (1997) §3.8. With few clusters the limits are too narrow: see the study in docs/proof.md.
/// </remarks>
public static class ClusterBootstrap
{
    /// <summary>Replicates and jackknife of a statistic over clusters.</summary>
    /// <typeparam name="T">What a cluster is made of.</typeparam>
    /// <param name="strata">Strata, each a list of clusters.</param>
    /// <param name="statistic">Computes the statistic from strata of clusters; may be NaN, such replicates are left out.</param>
    /// <param name="replicates">How many to draw, at least 1.</param>
    /// <param name="seed">Of the random numbers.</param>
    /// <returns>The replicates, and the statistic with each cluster left out in turn.</returns>
    public static (ImmutableArray<double> Replicates, ImmutableArray<double> Jackknife) Draw<T>(
        IReadOnlyList<IReadOnlyList<T>> strata, Func<IReadOnlyList<IReadOnlyList<T>>, double> statistic, int replicates, ulong seed)
    {
        ArgumentNullException.ThrowIfNull(strata);
        ArgumentNullException.ThrowIfNull(statistic);
        ArgumentOutOfRangeException.ThrowIfLessThan(replicates, 1);

        var random = new SeededRandom(seed);
        var drawn = ImmutableArray.CreateBuilder<double>(replicates);
        for (int r = 0; r < replicates; r++)
        {
            double value = statistic([.. strata.Select(s => Resample(s, random))]);
            if (!double.IsNaN(value)) drawn.Add(value);
        }

        var left = ImmutableArray.CreateBuilder<double>();
        for (int s = 0; s < strata.Count; s++)
        {
            for (int c = 0; c < strata[s].Count; c++)
            {
                (int stratum, int cluster) = (s, c);
                double value = statistic([.. strata.Select((list, i) => i == stratum ? [.. list.Where((_, j) => j != cluster)] : list)]);
                if (!double.IsNaN(value)) left.Add(value);
            }
        }
        return (drawn.ToImmutable(), left.ToImmutable());
    }

    private static T[] Resample<T>(IReadOnlyList<T> clusters, SeededRandom random)
    {
        var drawn = new T[clusters.Count];
        for (int i = 0; i < drawn.Length; i++) drawn[i] = clusters[random.NextIndex(clusters.Count)];
        return drawn;
    }
}
