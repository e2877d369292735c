namespace OilWatch.Vibration;

/// <summary>A one-sided power spectral density of acceleration.</summary>
/// <remarks>Density, not amplitude: a sine of amplitude A has the area A²/2 under its peak, and no fixed height.</remarks>
public sealed class SpectralDensity
{
    private const double StandardGravity = 9.80665;      // m/s², exact by definition (CGPM 1901)
    private readonly double[] _density;

    internal SpectralDensity(double[] density, double rateHz, double noiseBandwidthBins, long segments)
    {
        _density = density;
        RateHz = rateHz;
        NoiseBandwidthBins = noiseBandwidthBins;
        Segments = segments;
    }

    /// <summary>Samples a second of the waveform.</summary>
    public double RateHz { get; }

    /// <summary>How many segments were averaged.</summary>
    public long Segments { get; }

    /// <summary>Equivalent noise bandwidth of the window, bins.</summary>
    public double NoiseBandwidthBins { get; }

    /// <summary>Distance between values, Hz.</summary>
    public double StepHz => RateHz / (2.0 * (_density.Length - 1));

    /// <summary>g²/Hz at <c>k · StepHz</c>, from 0 to half the rate.</summary>
    public ReadOnlySpan<double> DensityG2PerHz => _density;

    /// <summary>The frequency of a value, Hz.</summary>
    /// <param name="k">Its index.</param>
    public double FrequencyHz(int k) => k * StepHz;

    /// <summary>Mean square of a line at a value's frequency, g²: the density through the window's noise bandwidth.</summary>
    /// <param name="k">The index of the value.</param>
    public double MeanSquareG2(int k) => _density[k] * NoiseBandwidthBins * StepHz;

    /// <summary>Amplitude (peak) of a line at a value's frequency, g; low by the window's scalloping where the line lies between two values.</summary>
    /// <param name="k">The index of the value.</param>
    public double AmplitudeG(int k) => Math.Sqrt(2 * MeanSquareG2(k));

    /// <summary>RMS acceleration in a band, g; both edges are included. 0 when the band holds no value.</summary>
    /// <param name="fromHz">Lower edge, Hz.</param>
    /// <param name="toHz">Upper edge, Hz.</param>
    public double BandRmsG(double fromHz, double toHz)
    {
        double sum = 0;
        (int first, int last) = Bins(fromHz, toHz);
        for (int k = first; k <= last; k++) sum += _density[k];
        return Math.Sqrt(sum * StepHz);
    }

    /// <summary>RMS velocity in a band, mm/s, by integration in the frequency domain; both edges are included.</summary>
    /// <param name="fromHz">Lower edge, Hz, &gt; 0; 10 by custom. Below a few values of <see cref="StepHz"/> the result is coarse.</param>
    /// <param name="toHz">Upper edge, Hz; 1000 by custom.</param>
    /// <remarks>v = a / (2π f), each value of the density divided by (2π f)².</remarks>
    public double VelocityRmsMmS(double fromHz = 10, double toHz = 1000)
    {
        double sum = 0;
        (int first, int last) = Bins(fromHz, toHz);
        for (int k = Math.Max(first, 1); k <= last; k++)
        {
            double omega = 2 * Math.PI * FrequencyHz(k);
            sum += _density[k] / (omega * omega);
        }
        return Math.Sqrt(sum * StepHz) * StandardGravity * 1000;
    }

    private (int First, int Last) Bins(double fromHz, double toHz)
    {
        double step = StepHz;
        double first = Math.Ceiling((fromHz / step) - 1e-9);
        double last = Math.Floor((toHz / step) + 1e-9);
        return ((int)Math.Clamp(first, 0, _density.Length), (int)Math.Clamp(last, -1, _density.Length - 1));
    }
}
