using System.Runtime.InteropServices;

namespace OilWatch.Results.Traces;

/// <summary>Gathers a <see cref="RunStrip"/> in bounded memory: bins double their length when there are too many.</summary>
internal sealed class RunStripTally
{
    private const int MostBins = 32_768;                   // 128 kB; 2.2 hours at the first step
    private readonly List<float> _lowest = [];
    private LogTime _from;
    private double _stepS = 0.25;

    /// <summary>Takes a ratio of pressure to expected; NaN where it could not be judged.</summary>
    public void Add(LogTime at, double ratio)
    {
        if (_lowest.Count == 0) _from = at;
        double afterS = at.SecondsSince(_from);
        if (!(afterS >= 0)) return;
        while (afterS >= _stepS * MostBins) Widen();
        int bin = (int)(afterS / _stepS);
        while (_lowest.Count <= bin) _lowest.Add(float.NaN);
        float before = _lowest[bin];
        if (!(before <= ratio) && double.IsFinite(ratio)) _lowest[bin] = (float)ratio;
    }

    /// <summary>The strip, or null when pressure could never be judged.</summary>
    public RunStrip? Strip() =>
        _lowest.TrueForAll(float.IsNaN) ? null : new RunStrip(_from, _stepS, [.. _lowest]);

    private void Widen()
    {
        _stepS *= 2;
        Span<float> bins = CollectionsMarshal.AsSpan(_lowest);
        int half = (bins.Length + 1) / 2;
        for (int i = 0; i < half; i++)
        {
            float first = bins[2 * i];
            float second = (2 * i) + 1 < bins.Length ? bins[(2 * i) + 1] : float.NaN;
            bins[i] = float.IsNaN(first) ? second : second < first ? second : first;
        }
        _lowest.RemoveRange(half, _lowest.Count - half);
    }
}
