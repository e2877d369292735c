using OilWatch.Detectors;

namespace OilWatch.Tests.Detectors;

public sealed class SequentialTestTests
{
    [Theory]
    // Siegmund's run length. check-values 8, COMPUTED, to the digits given there.
    [InlineData(0.5, 4, 0, 338.0932)]
    [InlineData(0.5, 4, 1, 8.3434)]
    [InlineData(0.5, 5, 0, 938.2224)]
    [InlineData(0.5, 5, 1, 10.3362)]
    // The limit at shift = reference: b squared with b = 5 + 1.166.
    [InlineData(0.5, 5, 0.5, 38.019556)]
    public void Run_lengths_are_Siegmunds(double reference, double decision, double shift, double runLength)
    {
        Assert.Equal(runLength, SequentialTest.RunLength(reference, decision, shift), 4);
    }

    [Theory]
    // Exact one-sided zero-state run lengths. check-values 8, COMPUTED with another implementation (Markov chain, tolerance 1e-4).
    [InlineData(4, 0, 335.3676)]
    [InlineData(4, 0.25, 77.0785)]
    [InlineData(4, 0.5, 26.6792)]
    [InlineData(4, 0.75, 13.2866)]
    [InlineData(4, 1, 8.3832)]
    [InlineData(5, 0, 930.8870)]
    [InlineData(5, 0.25, 141.6877)]
    [InlineData(5, 0.5, 38.0096)]
    [InlineData(5, 0.75, 17.0485)]
    [InlineData(5, 1, 10.3760)]
    public void Siegmunds_approximation_is_within_a_percent_of_the_exact_run_length(double decision, double shift, double exact)
    {
        Assert.InRange(SequentialTest.RunLength(0.5, decision, shift), 0.99 * exact, 1.01 * exact);
    }

    [Theory]
    // Two-sided 370 is one-sided 740. check-values 8 (Hawkins), COMPUTED; the approximation is good to a few hundredths of h.
    [InlineData(0.25, 8.0083)]
    [InlineData(0.5, 4.7738)]
    [InlineData(0.75, 3.3390)]
    [InlineData(1, 2.5163)]
    public void The_decision_limit_for_a_run_length_is_Hawkins(double reference, double decision)
    {
        Assert.Equal(decision, SequentialTest.DecisionFor(reference, 740), 0.04);
    }

    [Theory]
    [InlineData(0.1)]
    [InlineData(0.25)]
    [InlineData(0.5)]
    [InlineData(1)]
    [InlineData(2.5)]
    [InlineData(6.3)]
    public void The_decision_limit_is_the_inverse_of_the_run_length(double reference)
    {
        foreach (double runLength in new[] { 50, 1000, 1e5, 7.2e6, 1e9 })
        {
            double decision = SequentialTest.DecisionFor(reference, runLength);
            double back = SequentialTest.RunLength(reference, decision, 0);
            if (decision == 0) Assert.True(back >= runLength);
            else Assert.InRange(back / runLength, 1 - 1e-9, 1 + 1e-6);
        }
    }

    [Theory]
    // check-values 8, COMPUTED. Allowed: four standard errors of the simulation, which are stated in the last column.
    [InlineData(5, 3, 2.5733, 200_000, 0.0013)]
    [InlineData(5, 1, 10.3760, 100_000, 0.018)]
    [InlineData(4, 0, 335.3676, 12_000, 3.1)]
    public void The_recursion_has_the_published_run_length(double decision, double shift, double runLength, int runs, double standardError)
    {
        var noise = new Gauss(20261125);
        double sum = 0, squares = 0;
        for (int run = 0; run < runs; run++)
        {
            double c = 0;
            int readings = 0;
            while (c < decision)
            {
                c = Math.Max(0, c + noise.Next() + shift - 0.5);
                readings++;
            }

            sum += readings;
            squares += (double)readings * readings;
        }

        double mean = sum / runs;
        double error = Math.Sqrt(((squares / runs) - (mean * mean)) / runs);
        Assert.InRange(error, 0.7 * standardError, 1.3 * standardError);
        Assert.Equal(runLength, mean, 4 * standardError);
    }
}
