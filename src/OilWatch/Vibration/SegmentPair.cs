using System.Numerics;
using System.Runtime.InteropServices;
using NWaves.Transforms;

namespace OilWatch.Vibration;

/// <summary>The power spectra of two equally long stretches of a waveform from one complex transform.</summary>
/// <remarks>
/// With z = x₁ + i·x₂, |Z(k)|² + |Z(N−k)|² = 2·(|X₁(k)|² + |X₂(k)|²): the sum of the two power spectra needs no untangling, and costs
/// a third less than two real transforms of the same library (measured, see docs/vibration.md). The transform is NWaves' <see cref="Fft"/> in single precision.
/// </remarks>
internal sealed class SegmentPair
{
    private readonly Fft _fft;
    private readonly float[] _window;
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly float[] _power;
    private readonly float _scale;

    public SegmentPair(int length)
    {
        var window = new Window(WindowShape.Hann, length);
        _fft = new Fft(length);
        _window = window.ToSingle();
        _re = new float[length];
        _im = new float[length];
        _power = new float[(length / 2) + 1];
        // |Z(k)|² + |Z(N−k)|² counts the pair twice over; one side of the spectrum is kept, which doubles it again.
        _scale = (float)(1.0 / ((double)length * length * window.PowerGain));
        NoiseBandwidthBins = window.NoiseBandwidthBins;
    }

    public double NoiseBandwidthBins { get; }

    /// <summary>How many stretches are in: 0 to 2.</summary>
    public int Count { get; private set; }

    /// <summary>Takes a stretch; its mean is removed.</summary>
    public void Put(ReadOnlySpan<float> samples)
    {
        Weigh(samples, Count == 0 ? _re : _im);
        Count++;
    }

    /// <summary>
    /// The power of the stretches put in, summed: mean square a bin, so that a line of amplitude A has A²/2 over its bins.
    /// Valid until the next <see cref="Put"/>; the pair is empty afterwards.
    /// </summary>
    public ReadOnlySpan<float> TakePower()
    {
        if (Count == 1) Array.Clear(_im);
        Count = 0;
        _fft.Direct(_re, _im);
        int n = _re.Length;
        Span<Vector<float>> re = MemoryMarshal.Cast<float, Vector<float>>(_re.AsSpan());
        Span<Vector<float>> im = MemoryMarshal.Cast<float, Vector<float>>(_im.AsSpan());
        for (int i = 0; i < re.Length; i++) re[i] = (re[i] * re[i]) + (im[i] * im[i]);
        float[] square = _re;
        // The ends stand alone: neither is mirrored, so neither is doubled.
        _power[0] = square[0] * _scale;
        _power[n / 2] = square[n / 2] * _scale;
        for (int k = 1; k < n / 2; k++) _power[k] = (square[k] + square[n - k]) * _scale;
        return _power;
    }

    private void Weigh(ReadOnlySpan<float> samples, float[] into)
    {
        var sum = Vector<float>.Zero;
        ReadOnlySpan<Vector<float>> from = MemoryMarshal.Cast<float, Vector<float>>(samples);
        foreach (Vector<float> part in from) sum += part;
        var mean = new Vector<float>(Vector.Sum(sum) / samples.Length);
        Span<Vector<float>> to = MemoryMarshal.Cast<float, Vector<float>>(into.AsSpan());
        ReadOnlySpan<Vector<float>> window = MemoryMarshal.Cast<float, Vector<float>>(_window);
        for (int i = 0; i < to.Length; i++) to[i] = (from[i] - mean) * window[i];
    }
}
