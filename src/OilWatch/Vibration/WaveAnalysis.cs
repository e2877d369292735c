using System.Collections.Immutable;

namespace OilWatch.Vibration;

/// <summary>What one axis of a waveform showed.</summary>
public sealed record WaveAnalysis
{
    /// <summary>Its number, counted from 1.</summary>
    public required int Axis { get; init; }

    /// <summary>Samples taken.</summary>
    public required long Samples { get; init; }

    /// <summary>Samples that were no numbers, or beyond a million g; each was replaced by the one before it.</summary>
    public required long NotNumbers { get; init; }

    /// <summary>Power spectral density of the whole run, or null when it is shorter than a segment.</summary>
    public SpectralDensity? Density { get; init; }

    /// <summary>RMS acceleration from 10 Hz to half the rate, g, or null.</summary>
    public double? RmsG { get; init; }

    /// <summary>RMS velocity from 10 to 1000 Hz (or to 0.4 of the rate, where that is lower), mm/s, or null.</summary>
    public double? VelocityRmsMmS { get; init; }

    /// <summary>Upper edge of <see cref="VelocityRmsMmS"/>, Hz.</summary>
    public double VelocityToHz { get; init; }

    /// <summary>The orders 0.5 to 8; empty when engine speed was not known.</summary>
    public ImmutableArray<OrderLevel> Orders { get; init; } = [];

    /// <summary>Lines of the order spectrum wherever they lie, strongest first.</summary>
    public ImmutableArray<OrderPeak> OrderPeaks { get; init; } = [];

    /// <summary>Order levels over engine speed.</summary>
    public required OrderTable OrderTable { get; init; }

    /// <summary>Level over engine speed and frequency.</summary>
    public required LevelMap Map { get; init; }

    /// <summary>Resonances found, strongest first.</summary>
    public ImmutableArray<Resonance> Resonances { get; init; } = [];

    /// <summary>Level over the run.</summary>
    public ImmutableArray<LevelPoint> Levels { get; init; } = [];

    /// <summary>RMS of each watched band over the run: name and g.</summary>
    public ImmutableArray<(string Name, double RmsG)> Bands { get; init; } = [];

    /// <summary>Rises of the level as a whole and of the watched bands, in the order in which they were known.</summary>
    public ImmutableArray<VibrationChange> Changes { get; init; } = [];

    /// <summary>Healthy levels as learned: by band name, empty for the level as a whole.</summary>
    public ImmutableDictionary<string, ImmutableArray<HealthyLevel>> Healthy { get; init; } =
        ImmutableDictionary<string, ImmutableArray<HealthyLevel>>.Empty;
}
