using OilWatch.Synthesiser.Oil;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser;

/// <summary>Wishes beyond scenario and seed. Null leaves it to the seed.</summary>
public sealed record SessionTuning
{
    /// <summary>Uncovered seconds a lap that the fill is set for.</summary>
    public double? UncoveredSPerLap { get; init; }

    /// <summary>Ratio to healthy that full uncovering is set for.</summary>
    public double? DeepestRatio { get; init; }

    /// <summary>Pan and fill of another session of the same car, taken as they are; null to draw and fit them.</summary>
    public Pan? Pan { get; init; }

    /// <summary>What the oil of a car driven flat out settles at, °C; null to draw it.</summary>
    public double? OilSettlesC { get; init; }

    /// <summary>Faults to put in, in order of time; null for those that scenario and seed draw.</summary>
    public IReadOnlyList<TrueFault>? Faults { get; init; }

    /// <summary>Rate of the channels that change slowly, Hz; those that mark places get twice this. Null for the rate of all.</summary>
    public double? SlowHz { get; init; }

    /// <summary>True for plain names and units (<c>Oil Press [kPa]</c>); false to draw from several spellings.</summary>
    public bool PlainNames { get; init; }

    /// <summary>Shortest and longest flying lap, s, that a circuit may have.</summary>
    public (double From, double To) LapS { get; init; } = (45, 130);

    /// <summary>Redline, rpm; null to draw it.</summary>
    public double? RedlineRpm { get; init; }

    /// <summary>False for a run without stops on the way.</summary>
    public bool Stops { get; init; } = true;
}
