using NWaves.Transforms;

namespace OilWatch.Vibration;

/// <summary>Power spectral density by Welch's method in double precision, for a waveform that is in memory.</summary>
/// <remarks>Source: P. D. Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70–73. The transform is NWaves' <see cref="RealFft64"/>.</remarks>
public static class WelchDensity
{
    /// <summary>One-sided power spectral density by averaged, half-overlapped, windowed segments, each without its mean.</summary>
    /// <param name="samples">Acceleration, g, evenly spaced, at least one segment long. No NaN: mask first.</param>
    /// <param name="rateHz">Samples a second, &gt; 0.</param>
    /// <param name="segment">Samples a segment, a power of two, 16 to 65536.</param>
    /// <param name="shape">The window.</param>
    /// <param name="removeMean">False to keep each segment's mean.</param>
    /// <returns><c>segment / 2 + 1</c> values; the first and the last are not doubled.</returns>
    /// <exception cref="ArgumentException">There are fewer samples than a segment has, or an argument is out of range.</exception>
    public static SpectralDensity Of(
        ReadOnlySpan<double> samples, double rateHz, int segment, WindowShape shape = WindowShape.Hann, bool removeMean = true)
    {
        Check(rateHz, segment);
        if (samples.Length < segment)
            throw new ArgumentException($"{samples.Length} samples are fewer than one segment of {segment}", nameof(samples));
        var window = new Window(shape, segment);
        var transform = new RealFft64(segment);
        int half = segment / 2;
        var weighted = new double[segment];
        var re = new double[half + 1];
        var im = new double[half + 1];
        var density = new double[half + 1];
        int segments = 0;
        for (int start = 0; start + segment <= samples.Length; start += half, segments++)
        {
            ReadOnlySpan<double> part = samples.Slice(start, segment);
            double mean = 0;
            if (removeMean)
            {
                foreach (double sample in part) mean += sample;
                mean /= segment;
            }
            for (int n = 0; n < segment; n++) weighted[n] = (part[n] - mean) * window.Values[n];
            transform.Direct(weighted, re, im);
            for (int k = 0; k <= half; k++) density[k] += (re[k] * re[k]) + (im[k] * im[k]);
        }
        double scale = 2 / (rateHz * segment * window.PowerGain * segments);
        for (int k = 0; k <= half; k++) density[k] *= k == 0 || k == half ? 0.5 * scale : scale;
        return new SpectralDensity(density, rateHz, window.NoiseBandwidthBins, segments);
    }

    internal static void Check(double rateHz, int segment)
    {
        if (!(rateHz > 0 && double.IsFinite(rateHz)))
            throw new ArgumentOutOfRangeException(nameof(rateHz), rateHz, "the rate must be finite and above 0 Hz");
        if (segment is < 16 or > 65_536 || !System.Numerics.BitOperations.IsPow2(segment))
            throw new ArgumentOutOfRangeException(nameof(segment), segment, "a segment is a power of two, 16 to 65536 samples");
    }
}
