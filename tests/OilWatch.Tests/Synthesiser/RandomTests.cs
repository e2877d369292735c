using OilWatch.Synthesiser.Maths;

namespace OilWatch.Tests.Synthesiser;

public class RandomTests
{
    [Fact]
    public void Numbers_are_evenly_spread_and_normal_ones_have_unit_spread()
    {
        var random = new SeededRandom(1, "test");
        double sum = 0, squares = 0, normal = 0, normalSquares = 0;
        const int N = 200_000;
        for (int i = 0; i < N; i++)
        {
            double u = random.Unit();
            Assert.InRange(u, 0, 1);
            sum += u;
            squares += u * u;
            double z = random.Normal();
            normal += z;
            normalSquares += z * z;
        }

        // Means 1/2, 1/3, 0, 1; five standard errors: 0.289, 0.298, 1 and 1.414 over the root of N.
        double error = 5 / Math.Sqrt(N);
        Assert.Equal(0.5, sum / N, 0.289 * error);
        Assert.Equal(1.0 / 3, squares / N, 0.298 * error);
        Assert.Equal(0, normal / N, error);
        Assert.Equal(1, normalSquares / N, 1.415 * error);
    }

    [Fact]
    public void Streams_of_a_seed_differ_and_repeat()
    {
        Assert.Equal(new SeededRandom(7, "a").NextBits(), new SeededRandom(7, "a").NextBits());
        Assert.NotEqual(new SeededRandom(7, "a").NextBits(), new SeededRandom(7, "b").NextBits());
        Assert.NotEqual(new SeededRandom(7, "a").NextBits(), new SeededRandom(8, "a").NextBits());
    }

    [Fact]
    public void A_lag_reaches_63_percent_after_its_time_constant_at_any_step()
    {
        foreach (double step in (double[])[0.001, 0.01, 0.1])
        {
            var lag = new FirstOrderLag(0.2, step);
            double value = lag.Step(0);
            for (int i = 0; i < (int)Math.Round(0.2 / step); i++) value = lag.Step(1);
            Assert.Equal(1 - Math.Exp(-1), value, 1e-9);
        }
    }
}
