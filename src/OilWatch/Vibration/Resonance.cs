using System.Collections.Immutable;

namespace OilWatch.Vibration;

/// <summary>A frequency at which something rings: orders peak where they cross it.</summary>
/// <param name="FrequencyHz">The frequency.</param>
/// <param name="Crossings">The orders seen to excite it, strongest first.</param>
/// <param name="WidthHz">Width between the points at 0.707 of the strongest peak, Hz; NaN where a side was not seen.</param>
public sealed record Resonance(double FrequencyHz, ImmutableArray<ResonanceCrossing> Crossings, double WidthHz)
{
    /// <summary>Sharpness Q: frequency over width; NaN where the width is not known.</summary>
    public double Sharpness => FrequencyHz / WidthHz;
}
