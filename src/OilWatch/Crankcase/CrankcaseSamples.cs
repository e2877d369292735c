using System.Runtime.InteropServices;

namespace OilWatch.Crankcase;

/// <summary>Remembers frames for the fit in bounded memory: when full, every second one is forgotten and only every second one is taken from then on.</summary>
/// <remarks>Deterministic, and even over the whole run. 20,000 samples are half an hour at ten a second.</remarks>
internal sealed class CrankcaseSamples
{
    private const int Most = 20_000;
    private const double LeastStepS = 0.095;
    private readonly List<CrankcaseSample> _samples = [];
    private double _stepS = LeastStepS;
    private LogTime _last;

    /// <summary>What is remembered, in order of time.</summary>
    public ReadOnlySpan<CrankcaseSample> All => CollectionsMarshal.AsSpan(_samples);

    /// <summary>Seconds of running behind them.</summary>
    public double RunningS { get; private set; }

    /// <summary>Adds a constant to every pressure: the zero became known better.</summary>
    public void Shift(double kpa)
    {
        foreach (ref CrankcaseSample sample in CollectionsMarshal.AsSpan(_samples)) sample = sample with { PressureKpa = (float)(sample.PressureKpa + kpa) };
    }

    /// <summary>Takes a sample that may be learned from.</summary>
    public void Take(LogTime at, in CrankcaseSample sample)
    {
        double step = _samples.Count == 0 ? _stepS : at.SecondsSince(_last);
        if (step < _stepS) return;
        RunningS += Math.Min(step, 1);
        _last = at;
        _samples.Add(sample);
        if (_samples.Count < Most) return;
        for (int i = 0; i < Most / 2; i++) _samples[i] = _samples[2 * i];
        CollectionsMarshal.SetCount(_samples, Most / 2);
        _stepS *= 2;
    }
}
