using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public class HalfBandTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.15)]
    [InlineData(0.2)]        // 0.4 of the new rate
    public void What_is_kept_is_flat_and_in_place(double share)
    {
        float[] halved = Halved(share, 0.3);

        for (int m = 0; m < halved.Length; m++)
            Assert.Equal(Math.Cos((2 * Math.PI * share * 2 * (m + 9)) + 0.3), halved[m], 1.6e-3);
    }

    [Theory]
    [InlineData(0.3)]        // folds onto 0.4 of the new rate
    [InlineData(0.35)]
    [InlineData(0.45)]
    [InlineData(0.499)]
    public void What_would_fold_back_is_56_dB_down(double share)
    {
        foreach (float value in Halved(share, 0.3)) Assert.InRange(value, -1.6e-3, 1.6e-3);
    }

    [Fact]
    public void A_ladder_gives_the_same_samples_at_any_split()
    {
        var random = new Random(7);
        float[] samples = [.. Enumerable.Range(0, 40_000).Select(_ => random.NextSingle())];

        float[] whole = Last(samples, 8192);
        float[] parts = Last(samples, 313);

        Assert.Equal(whole, parts);

        static float[] Last(float[] samples, int atOnce)
        {
            var ladder = new RateLadder(25_600);
            for (int i = 0; i < samples.Length; i += atOnce) ladder.Add(samples.AsSpan(i, Math.Min(atOnce, samples.Length - i)));
            SampleBuffer slowest = ladder[ladder.Count - 1];
            return slowest.From(slowest.End - 50).ToArray();
        }
    }

    [Fact]
    public void Every_step_of_a_ladder_lies_at_its_own_instant()
    {
        var ladder = new RateLadder(25_600);
        float[] tone = [.. Enumerable.Range(0, 50_000).Select(n => (float)Math.Sin(2 * Math.PI * 20 * n / 25_600.0))];
        for (int i = 0; i < tone.Length; i += 5000) ladder.Add(tone.AsSpan(i, 5000));

        Assert.Equal(8, ladder.Count);
        for (int step = 0; step < ladder.Count; step++)
        {
            long index = ladder[step].End - 3;
            double expected = Math.Sin(2 * Math.PI * 20 * index * (1 << step) / 25_600.0);
            Assert.Equal(expected, ladder[step].From(index)[0], 2e-3);
        }
    }

    private static float[] Halved(double share, double phase)
    {
        float[] tone = [.. Enumerable.Range(1, 400).Select(n => (float)Math.Cos((2 * Math.PI * share * n) + phase))];
        var halved = new float[150];
        // The first output, m = 9, is centred on input 18 and begins at input 1.
        new HalfBand(150).Run(tone, halved);
        return halved;
    }
}
