using OilWatch.Cars;

namespace OilWatch.Vibration;

/// <summary>A band of frequency or of order with the machine that watches its level.</summary>
internal sealed class WatchedBand(string name, double from, double to, BandKind kind, VibrationGrowthState state)
{
    private double _sum;
    private long _count;

    public string Name { get; } = name;

    public BandKind Kind { get; } = kind;

    public VibrationGrowthState State { get; } = state;

    public double RmsG => _count == 0 ? double.NaN : Math.Sqrt(_sum / _count);

    /// <summary>Takes a spectrum; true when its level brought a change.</summary>
    /// <param name="power">Mean square a bin, g², summed over the spectra.</param>
    /// <param name="spectra">How many.</param>
    /// <param name="binWidth">Hz or orders a bin.</param>
    /// <param name="at">When: their middle.</param>
    /// <param name="known">When the last of their samples had come.</param>
    /// <param name="speedRpm">Engine speed, or NaN.</param>
    /// <param name="change">What changed.</param>
    public bool Take(ReadOnlySpan<float> power, int spectra, double binWidth, LogTime at, LogTime known, double speedRpm, out VibrationChange change)
    {
        int first = (int)Math.Clamp(Math.Ceiling((from / binWidth) - 1e-9), 1, power.Length);
        int last = (int)Math.Clamp(Math.Floor((to / binWidth) + 1e-9), 0, power.Length - 1);
        double sum = 0;
        for (int bin = first; bin <= last; bin++) sum += power[bin];
        _sum += sum;
        _count += spectra;
        return State.Step(at, known, Math.Sqrt(sum / spectra), speedRpm, double.NaN, Frames.EngineFrame.NoLap, out change);
    }
}
