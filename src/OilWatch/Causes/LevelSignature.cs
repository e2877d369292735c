using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>How high this run's healthy pressure stands at the run's own oil temperature. NaN where it is not known.</summary>
/// <param name="PerThousandRpmKpa">At 4000 rpm and the viscosity of 100 °C, kPa for each 1000 rpm.</param>
/// <param name="LowRatio">Against the reference at 2000 rpm.</param>
/// <param name="MiddleRatio">Against the reference at two thirds of the highest speed.</param>
/// <param name="TopRatio">Against the reference near the highest speed.</param>
/// <param name="ReferenceName">The reference's name, or null without one.</param>
internal sealed record LevelSignature(
    double PerThousandRpmKpa, double LowRatio, double MiddleRatio, double TopRatio, string? ReferenceName)
{
    private const double NearTop = 0.97;
    private const double ReferenceRpm = 4000;
    private const double LowRpm = 2000;

    /// <summary>What changed in the oil system since the reference.</summary>
    public EngineChange Change { get; init; } = EngineChange.Unknown;

    /// <summary>False where this run's curve was learned without oil temperature: what heat does to the curve is then partly left in it.</summary>
    public bool KnowsTemperature { get; init; } = true;

    /// <summary>Nothing known.</summary>
    public static LevelSignature Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, null);

    /// <summary>Measures the level of a run's own curve.</summary>
    /// <param name="own">What this run showed.</param>
    /// <param name="reference">What the engine showed before, or null.</param>
    public static LevelSignature Of(HealthyReference own, HealthyReference? reference)
    {
        double level = own.TopRpm >= ReferenceRpm ? own.Curve.At(ReferenceRpm, 1) / (ReferenceRpm / 1000) : double.NaN;
        if (reference is not { KnowsTemperature: true } || !own.KnowsTemperature) return Unknown with { PerThousandRpmKpa = level, KnowsTemperature = own.KnowsTemperature };
        double top = NearTop * Math.Min(own.TopRpm, reference.TopRpm);
        double ratio(double rpm) => own.Curve.At(rpm, 1) / reference.Curve.At(rpm, 1);
        return top < 1.5 * LowRpm
            ? Unknown with { PerThousandRpmKpa = level }
            : new LevelSignature(level, ratio(LowRpm), ratio(top * 2 / 3), ratio(top), reference.Name)
            {
                Change = own.Map is { } later && reference.Map is { } earlier ? EngineChange.Between(earlier, later) : EngineChange.Unknown,
            };
    }
}
