using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.8.</summary>
public sealed class BootstrapTests
{
    [Fact]
    public void Levels_of_the_textbook_example()
    {
        Limits levels = Bca.Levels(.146, .061, 0.90);
        Assert.Equal(.109856, levels.Low, 1e-6);
        Assert.Equal(.984477, levels.High, 1e-6);
    }

    [Fact]
    public void Acceleration_of_the_spatial_data_and_the_law_school()
    {
        // Data MEMORY, figures COMPUTED; the book prints 171.5 and .061.
        double[] spatial = [48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41];
        Assert.Equal(171.5340236686, Variance(spatial), 1e-9);
        Assert.Equal(.0612401198, Bca.Acceleration([.. LeaveOneOut(spatial, Variance)]), 1e-9);

        (double, double)[] law =
        [
            (576, 3.39), (635, 3.30), (558, 2.81), (578, 3.03), (666, 3.44), (580, 3.07), (555, 3.00), (661, 3.43), (651, 3.36), (605, 3.13), (653, 3.12),
            (575, 2.74), (545, 2.76), (572, 2.88), (594, 2.96),
        ];
        double[] left = [.. LeaveOneOut(law, Correlation)];
        Assert.Equal(.7763744913, Correlation(law), 1e-9);
        Assert.Equal(-.0756715649, Bca.Acceleration(left), 1e-8);
        double mean = left.Average();
        Assert.Equal(.1425186186, Math.Sqrt(left.Sum(t => (t - mean) * (t - mean)) * 14 / 15), 1e-8);
    }

    [Fact]
    public void All_resamples_of_five_values_by_either_rule_for_ties()
    {
        double[] x = [1, 2, 4, 8, 16];
        double[] all =
            [.. from a in x from b in x from c in x from d in x from e in x select (a + b + c + d + e) / 5];
        double[] left = [.. LeaveOneOut(x, v => v.Average())];
        Assert.Equal(1618, all.Count(t => t < 6.2));
        Assert.Equal(120, all.Count(t => t == 6.2));
        Assert.Equal(.0662657355, Bca.Acceleration(left), 1e-9);

        Assert.Equal(.0445324328, Bca.Bias(all, 6.2, midRank: false), 1e-9);
        Assert.Equal(.0927779107, Bca.Bias(all, 6.2), 1e-9);
        Limits strict = Bca.Levels(Bca.Bias(all, 6.2, midRank: false), Bca.Acceleration(left));
        Assert.Equal(.0489458937, strict.Low, 1e-8);
        Assert.Equal(.9907652548, strict.High, 1e-8);
        Limits mid = Bca.Levels(Bca.Bias(all, 6.2), Bca.Acceleration(left));
        Assert.Equal(.05834516, mid.Low, 1e-8);
        Assert.Equal(.99321993, mid.High, 1e-8);
        Assert.Equal(new Limits(2.4, 12.8), Bca.Of(all, 6.2, left, midRank: false));
        Assert.Equal(new Limits(2.6, 12.8), Bca.Of(all, 6.2, left));
        Assert.Equal(new Limits(2.0, 11.4), Percentile(all));
    }

    [Fact]
    public void Drawing_clusters_keeps_them_whole_and_repeats_with_the_seed()
    {
        int[][] clusters = [[1, 1, 1], [2, 2], [3]];
        (var replicates, var jackknife) = ClusterBootstrap.Draw<int[]>([clusters], s => s[0].Sum(c => c.Sum()), 500, 7);
        Assert.All(replicates, r => Assert.InRange(r, 9, 12));
        Assert.Equal([7.0, 6.0, 7.0], jackknife.Select(j => j));
        Assert.Equal(replicates, ClusterBootstrap.Draw<int[]>([clusters], s => s[0].Sum(c => c.Sum()), 500, 7).Replicates);
    }

    [Fact]
    public void Seeded_numbers_never_change()
    {
        // SplitMix64 from seed 0 begins E220A8397B1DCDAF (published reference output of its authors), which is the generator's first word of state.
        var random = new SeededRandom(42);
        ulong[] first = [random.NextBits(), random.NextBits(), random.NextBits()];
        Assert.Equal([0x15780B2E0C2EC716, 0x6104D9866D113A7E, 0xAE17533239E499A1], first);
    }

    [Theory]
    [InlineData(0.06)]
    [InlineData(0.5)]
    [InlineData(3)]
    [InlineData(40)]
    public void Gamma_numbers_have_the_mean_and_variance_of_their_shape(double shape)
    {
        var random = new SeededRandom(3);
        const int Count = 40_000;
        double[] draws = [.. Enumerable.Range(0, Count).Select(_ => random.NextGamma(shape))];
        double mean = draws.Average(), error = Math.Sqrt(shape / Count);
        Assert.Equal(shape, mean, 4 * error);
        Assert.Equal(shape, draws.Sum(d => (d - mean) * (d - mean)) / Count, 0.08 * shape * Math.Max(1, 1 / Math.Sqrt(shape)));
    }

    private static Limits Percentile(double[] all)
    {
        double[] sorted = [.. all.Order()];
        return new(Bca.Quantile(sorted, 0.025), Bca.Quantile(sorted, 0.975));
    }

    private static double Variance(IReadOnlyList<double> x)
    {
        double mean = x.Average();
        return x.Sum(v => (v - mean) * (v - mean)) / x.Count;
    }

    private static double Correlation(IReadOnlyList<(double X, double Y)> p)
    {
        double mx = p.Average(v => v.X), my = p.Average(v => v.Y);
        return p.Sum(v => (v.X - mx) * (v.Y - my)) / Math.Sqrt(p.Sum(v => (v.X - mx) * (v.X - mx)) * p.Sum(v => (v.Y - my) * (v.Y - my)));
    }

    private static IEnumerable<double> LeaveOneOut<T>(IReadOnlyList<T> data, Func<IReadOnlyList<T>, double> statistic) =>
        Enumerable.Range(0, data.Count).Select(i => statistic([.. data.Where((_, j) => j != i)]));
}
