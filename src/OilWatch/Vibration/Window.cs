namespace OilWatch.Vibration;

/// <summary>A window of a given shape and length with the factors by which a spectrum is scaled.</summary>
/// <remarks>
/// Periodic form: the sum of cosine terms over <c>2π n / N</c>, as spectra need it. Sources: F. J. Harris, Proc. IEEE 66 (1978) 51;
/// G. Heinzel, A. Rüdiger, R. Schilling, Spectrum and spectral density estimation by the DFT (2002).
/// </remarks>
public sealed class Window
{
    private readonly double[] _values;
    private readonly double[] _terms;

    /// <summary>Makes a window.</summary>
    /// <param name="shape">Its shape.</param>
    /// <param name="length">Samples, 2 to 1,048,576.</param>
    public Window(WindowShape shape, int length)
    {
        if (length is < 2 or > 1_048_576)
            throw new ArgumentOutOfRangeException(nameof(length), length, "a window has 2 to 1048576 samples");
        Shape = shape;
        _terms = TermsOf(shape);
        _values = new double[length];
        for (int n = 0; n < length; n++)
        {
            double value = 0;
            for (int term = 0; term < _terms.Length; term++)
                value += (term % 2 == 0 ? 1 : -1) * _terms[term] * Math.Cos(2 * Math.PI * term * n / length);
            _values[n] = value;
        }
        double sum = 0, squares = 0;
        foreach (double value in _values)
        {
            sum += value;
            squares += value * value;
        }
        CoherentGain = sum / length;
        PowerGain = squares / length;
    }

    /// <summary>Its shape.</summary>
    public WindowShape Shape { get; }

    /// <summary>Its length, samples.</summary>
    public int Length => _values.Length;

    /// <summary>Mean of the weights: by this a steady line comes out too low.</summary>
    public double CoherentGain { get; }

    /// <summary>Mean of the squared weights: by this power comes out too low.</summary>
    public double PowerGain { get; }

    /// <summary>Equivalent noise bandwidth, bins.</summary>
    public double NoiseBandwidthBins => PowerGain / (CoherentGain * CoherentGain);

    /// <summary>How much too low the highest bin of a line is when the line falls half-way between two bins, dB, 0 or more.</summary>
    public double ScallopingDb
    {
        get
        {
            double re = 0, im = 0;
            for (int n = 0; n < _values.Length; n++)
            {
                double phase = Math.PI * n / _values.Length;          // half a bin
                re += _values[n] * Math.Cos(phase);
                im -= _values[n] * Math.Sin(phase);
            }
            return -20 * Math.Log10(Math.Sqrt((re * re) + (im * im)) / (CoherentGain * _values.Length));
        }
    }

    /// <summary>The weights.</summary>
    public ReadOnlySpan<double> Values => _values;

    /// <summary>The weights in single precision.</summary>
    internal float[] ToSingle() => Array.ConvertAll(_values, value => (float)value);

    private static double[] TermsOf(WindowShape shape) => shape switch
    {
        WindowShape.Rectangular => [1],
        WindowShape.Hann => [0.5, 0.5],
        WindowShape.Hamming => [0.54, 0.46],
        WindowShape.Blackman => [0.42, 0.5, 0.08],
        WindowShape.BlackmanHarris => [0.35875, 0.48829, 0.14128, 0.01168],
        WindowShape.FlatTop => [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
        _ => throw new ArgumentOutOfRangeException(nameof(shape), shape, "no such window"),
    };
}
