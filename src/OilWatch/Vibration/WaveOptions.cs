using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Vibration;

/// <summary>How a waveform is analysed.</summary>
public sealed record WaveOptions
{
    /// <summary>The defaults, without a car file.</summary>
    public static WaveOptions Default { get; } = new();

    /// <summary>Samples a segment of the spectrum, a power of two, 256 to 65536; null for about 0.16 s (4096 at 25.6 kHz).</summary>
    public int? Segment { get; init; }

    /// <summary>The car: its bands and its layout.</summary>
    public CarSettings Car { get; init; } = CarSettings.None;

    /// <summary>Thresholds of the rise of a band.</summary>
    public VibrationOptions Rise { get; init; } = VibrationOptions.Default;

    /// <summary>Healthy levels learned before, by band name (empty string: the level as a whole); those that are missing are learned from this run.</summary>
    public ImmutableDictionary<string, ImmutableArray<HealthyLevel>> Baselines { get; init; } =
        ImmutableDictionary<string, ImmutableArray<HealthyLevel>>.Empty;

    /// <summary>Every problem at once; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        if (Segment is { } samples && (samples is < 256 or > 65_536 || !System.Numerics.BitOperations.IsPow2(samples)))
            yield return FormattableString.Invariant($"segment = {Segment} is not possible; a power of two from 256 to 65536 is allowed");
        foreach (string problem in Rise.Problems()) yield return problem;
    }
}
