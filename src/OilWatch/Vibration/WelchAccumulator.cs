namespace OilWatch.Vibration;

/// <summary>Welch's method in single precision over a waveform that comes in blocks; memory does not grow with its length.</summary>
/// <remarks>Hann window, half overlap, each segment without its mean, two segments a transform (<see cref="SegmentPair"/>).</remarks>
internal sealed class WelchAccumulator
{
    private readonly double _rateHz;
    private readonly int _segment;
    private readonly float[] _buffer;
    private readonly SegmentPair _pair;
    private readonly double[] _sum;
    private readonly SpectrumSink? _sink;
    private int _filled;
    private long _first;           // index of the sample at the front of the buffer

    /// <param name="rateHz">Samples a second.</param>
    /// <param name="segment">Samples a segment, a power of two.</param>
    /// <param name="first">Index of the first sample that will come.</param>
    /// <param name="sink">Told each pair of segments, or null.</param>
    public WelchAccumulator(double rateHz, int segment, long first = 0, SpectrumSink? sink = null)
    {
        WelchDensity.Check(rateHz, segment);
        _rateHz = rateHz;
        _segment = segment;
        _buffer = new float[segment];
        _pair = new SegmentPair(segment);
        _sum = new double[(segment / 2) + 1];
        _first = first;
        _sink = sink;
    }

    /// <summary>Takes the power of one or two segments.</summary>
    /// <param name="power">Mean square a bin, g², summed over the segments; valid during the call.</param>
    /// <param name="segments">How many: 1 or 2.</param>
    /// <param name="first">Index of the first sample in them.</param>
    /// <param name="length">Samples from the first to the last.</param>
    public delegate void SpectrumSink(ReadOnlySpan<float> power, int segments, long first, int length);

    /// <summary>Segments taken.</summary>
    public long Segments { get; private set; }

    /// <summary>Samples a segment.</summary>
    public int Segment => _segment;

    public void Add(ReadOnlySpan<float> samples)
    {
        while (!samples.IsEmpty)
        {
            if (_filled == 0 && samples.Length >= _segment)
            {
                Take(samples[.._segment]);
                samples = samples[(_segment / 2)..];
                continue;
            }
            int count = Math.Min(samples.Length, _segment - _filled);
            samples[..count].CopyTo(_buffer.AsSpan(_filled));
            _filled += count;
            samples = samples[count..];
            if (_filled < _segment) return;
            Take(_buffer);
            _buffer.AsSpan(_segment / 2).CopyTo(_buffer);
            _filled = _segment / 2;
        }
    }

    /// <summary>The density so far, or null when not one segment is whole.</summary>
    public SpectralDensity? Finish()
    {
        if (_pair.Count > 0) Transform(_first - (_segment / 2));
        if (Segments == 0) return null;
        var density = new double[_sum.Length];
        double scale = _segment / (_rateHz * Segments);
        for (int k = 0; k < density.Length; k++) density[k] = _sum[k] * scale;
        return new SpectralDensity(density, _rateHz, _pair.NoiseBandwidthBins, Segments);
    }

    private void Take(ReadOnlySpan<float> segment)
    {
        _pair.Put(segment);
        if (_pair.Count == 2) Transform(_first - (_segment / 2));
        _first += _segment / 2;
    }

    private void Transform(long first)
    {
        int segments = _pair.Count;
        ReadOnlySpan<float> power = _pair.TakePower();
        for (int k = 0; k < power.Length; k++) _sum[k] += power[k];
        Segments += segments;
        _sink?.Invoke(power, segments, first, segments == 2 ? _segment * 3 / 2 : _segment);
    }
}
