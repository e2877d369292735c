using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

/// <summary>Values of check-values 7, COMPUTED with scipy 1.10.1; tolerances follow the digits given there.</summary>
public class WelchDensityTests
{
    [Fact]
    public void A_unit_sine_on_a_bin_has_area_one_half()
    {
        // The published case has N = 1000; the transform here takes powers of two, so fs = N = 1024, 50 Hz: the same bins.
        double[] sine = [.. Enumerable.Range(0, 1024).Select(n => Math.Sin(2 * Math.PI * 50 * n / 1024))];

        SpectralDensity rectangular = WelchDensity.Of(sine, 1024, 1024, WindowShape.Rectangular);
        SpectralDensity hann = WelchDensity.Of(sine, 1024, 1024);

        Assert.Equal(0.5, rectangular.DensityG2PerHz[50], 1e-12);
        Assert.Equal(0.7071067811865476, rectangular.BandRmsG(0, 512), 1e-12);
        Assert.Equal(1 / 12.0, hann.DensityG2PerHz[49], 1e-12);
        Assert.Equal(1 / 3.0, hann.DensityG2PerHz[50], 1e-12);
        Assert.Equal(1 / 12.0, hann.DensityG2PerHz[51], 1e-12);
        Assert.Equal(0.5, Math.Pow(hann.BandRmsG(0, 512), 2), 1e-12);
        Assert.Equal(1, hann.AmplitudeG(50), 1e-12);
    }

    [Fact]
    public void Power_is_the_same_in_time_and_in_frequency()
    {
        double[] sweep = [.. Enumerable.Range(0, 8192).Select(n => n / 1024.0).Select(t => Math.Sin(2 * Math.PI * ((20 * t) + (10 * t * t))))];

        SpectralDensity density = WelchDensity.Of(sweep, 1024, 8192, WindowShape.Rectangular, removeMean: false);

        Assert.Equal(0.499999011938766, sweep.Sum(x => x * x) / 8192, 1e-14);
        Assert.Equal(0.499999011938766, Math.Pow(density.BandRmsG(0, 512), 2), 1e-13);
    }

    [Theory]
    [InlineData(63, 7.499999971895e-01)]
    [InlineData(64, 3.000000005776e+00)]
    [InlineData(65, 7.499999970321e-01)]
    [InlineData(127, 1.874999907156e-01)]
    [InlineData(128, 7.500000193583e-01)]
    [InlineData(200, 3.842699703329e-02)]
    [InlineData(201, 3.842699707755e-02)]
    [InlineData(202, 1.537079877820e-03)]
    public void Three_tones_have_the_reference_density(int hz, double expected) =>
        AssertRelative(expected, Welch1().DensityG2PerHz[hz], 1e-9);

    [Theory]
    [InlineData(54, 74, 2.121320343559)]
    [InlineData(118, 138, 1.060660171770)]
    [InlineData(190, 211, 0.282842688713)]
    [InlineData(0, 512, 2.388514231523)]
    public void Three_tones_have_the_reference_band_rms(double from, double to, double expected) =>
        AssertRelative(expected, Welch1().BandRmsG(from, to), 1e-9);

    [Theory]
    [InlineData(64, 4.500000008665)]
    [InlineData(128, 1.125000029037)]
    [InlineData(200, 0.05764049554993)]
    public void Three_tones_have_the_reference_spectrum(int hz, double expected) =>
        AssertRelative(expected, Welch1().MeanSquareG2(hz), 1e-9);

    [Fact]
    public void A_line_between_two_bins_reads_low_by_the_scalloping()
    {
        AssertRelative(0.339530545165, Welch1().AmplitudeG(200), 1e-9);
        Assert.Equal(1.4236, -20 * Math.Log10(Welch1().AmplitudeG(200) / 0.4), 5e-5);
    }

    [Theory]
    [InlineData(0, 2.575694274514e-05)]
    [InlineData(1, 1.270873859196e-04)]
    [InlineData(10, 1.583904250978e-04)]
    [InlineData(64, 1.850610978600e-04)]
    [InlineData(127, 1.553868884063e-04)]
    [InlineData(128, 8.063569437884e-05)]
    public void Noise_has_the_reference_density(int k, double expected) =>
        AssertRelative(expected, WelchDensity.Of(Noise(), 1000, 256).DensityG2PerHz[k], 1e-9);

    [Fact]
    public void Noise_has_the_reference_power()
    {
        double[] noise = Noise();
        Assert.Equal([0.155154048465, -0.195185676683, 0.174960633740], noise.Take(3).Select(u => Math.Round(u, 12)));
        AssertRelative(8.312782032915e-02, Math.Pow(WelchDensity.Of(noise, 1000, 256).BandRmsG(0, 500), 2), 1e-9);
    }

    // check-values 7, units: v = g · 9.80665 / (2π f), rms to rms.
    [Theory]
    [InlineData(1, 50, 31.215536453)]
    [InlineData(1, 100, 15.607768227)]
    [InlineData(5, 250, 31.215536453)]
    [InlineData(10, 500, 31.215536453)]
    public void Velocity_of_a_sine_follows_from_its_acceleration(double rmsG, double hz, double expectedMmS)
    {
        double[] sine = [.. Enumerable.Range(0, 32768).Select(n => rmsG * Math.Sqrt(2) * Math.Sin(2 * Math.PI * hz * n / 4096))];

        double velocity = WelchDensity.Of(sine, 4096, 4096, WindowShape.Rectangular).VelocityRmsMmS();

        // A whole number of periods in each segment: all power in one bin, so that the figure is exact.
        AssertRelative(expectedMmS, velocity, 1e-9);
    }

    [Fact]
    public void Velocity_leaves_out_what_lies_outside_its_band()
    {
        double[] two = [.. Enumerable.Range(0, 32768).Select(n => Math.Sin(2 * Math.PI * 5 * n / 4096) + Math.Sin(2 * Math.PI * 1500 * n / 4096))];

        Assert.Equal(0, WelchDensity.Of(two, 4096, 4096, WindowShape.Rectangular).VelocityRmsMmS(), 1e-9);
    }

    [Fact]
    public void A_waveform_shorter_than_a_segment_is_refused()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(() => WelchDensity.Of(new double[100], 1000, 128));

        Assert.Equal("100 samples are fewer than one segment of 128 (Parameter 'samples')", error.Message);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(77)]
    [InlineData(1000)]
    [InlineData(8192)]
    public void The_streaming_form_agrees_with_the_exact_one_at_any_split(int atOnce)
    {
        double[] samples = Welch1Samples();
        float[] singles = [.. samples.Select(x => (float)x)];
        SpectralDensity exact = WelchDensity.Of(samples, 1024, 1024);
        var welch = new WelchAccumulator(1024, 1024);

        for (int i = 0; i < singles.Length; i += atOnce) welch.Add(singles.AsSpan(i, Math.Min(atOnce, singles.Length - i)));
        SpectralDensity streamed = welch.Finish()!;

        Assert.Equal(exact.Segments, streamed.Segments);
        // Single precision: lines to five digits, the floor 80 dB below the strongest.
        for (int k = 0; k <= 512; k++)
            Assert.Equal(exact.DensityG2PerHz[k], streamed.DensityG2PerHz[k], (1e-5 * exact.DensityG2PerHz[k]) + 3e-8);
        AssertRelative(3 / Math.Sqrt(2), streamed.BandRmsG(54, 74), 1e-5);
    }

    [Fact]
    public void Too_few_samples_for_a_segment_have_no_density()
    {
        var welch = new WelchAccumulator(1000, 256);
        welch.Add(new float[255]);

        Assert.Null(welch.Finish());
    }

    private static SpectralDensity Welch1() => WelchDensity.Of(Welch1Samples(), 1024, 1024);

    private static double[] Welch1Samples() =>
        [.. Enumerable.Range(0, 8192).Select(n => n / 1024.0).Select(t =>
            (3 * Math.Sin(2 * Math.PI * 64 * t)) + (1.5 * Math.Sin((2 * Math.PI * 128 * t) + 0.5)) + (0.4 * Math.Sin(2 * Math.PI * 200.5 * t)) + 0.25)];

    private static double[] Noise()
    {
        long s = 12345;
        return [.. Enumerable.Range(0, 8192).Select(_ => ((s = ((1103515245 * s) + 12345) % (1L << 31)) / (double)(1L << 31)) - 0.5)];
    }

    private static void AssertRelative(double expected, double actual, double tolerance) =>
        Assert.True(Math.Abs(actual - expected) <= tolerance * Math.Abs(expected), FormattableString.Invariant($"{actual:R} instead of {expected:R}"));
}
