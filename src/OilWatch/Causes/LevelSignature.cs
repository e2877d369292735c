using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>How high this run's healthy pressure stands at the run's own oil temperature. NaN where it is not known.</summary>
/// <param name="PerThousandRpmKpa">At 4000 rpm and the viscosity of 100 °C, kPa for each 1000 rpm.</param>
/// <param name="LowRatio">Against the reference at 2000 rpm.</param>
/// <param name="MiddleRatio">Against the reference at two thirds of the highest speed.</param>
/// <param name="TopRatio">Against the reference near the highest speed.</param>
/// <param name="PlateauRatio">Against the reference where both stand on the relief plateau, in the thickest oil that both had; NaN where they did not.</param>
/// <param name="ReferenceName">The reference's name, or null without one.</param>
internal sealed record LevelSignature(
    double PerThousandRpmKpa, double LowRatio, double MiddleRatio, double TopRatio, double PlateauRatio, string? ReferenceName)
{
    private const double HardKneeKpa = 200;
    private const double NearTop = 0.97;
    private const double ReferenceRpm = 4000;
    private const double LowRpm = 2000;
    private const double PlateauShare = 0.8;
    private const double SurelyAbove = 1.15;

    /// <summary>Pressure near the top in this run's thickest oil, against the reference's relief plateau; NaN where it is not known.</summary>
    public double OfOldPlateau { get; init; } = double.NaN;

    /// <summary>What the reference's curve would show there in oil that is thinner by the loss at 2000 rpm, against the reference's relief plateau; NaN where it is not known.</summary>
    public double ThinnerOfOldPlateau { get; init; } = double.NaN;

    /// <summary>True when both curves have a hard knee: such a valve does not give way to thinner oil.</summary>
    public bool HardValve { get; init; }

    /// <summary>False where this run's curve was learned without oil temperature: what heat does to the curve is then partly left in it.</summary>
    public bool KnowsTemperature { get; init; } = true;

    /// <summary>Nothing known.</summary>
    public static LevelSignature Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, null);

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
            : new LevelSignature(level, ratio(LowRpm), ratio(top * 2 / 3), ratio(top), PlateauOf(own, reference, top), reference.Name)
            {
                OfOldPlateau = own.Curve.At(top, own.Thickest) / Plateau(reference.Curve, top),
                ThinnerOfOldPlateau = Thinner(own.Curve, reference.Curve).At(top, own.Thickest) / Plateau(reference.Curve, top),
                HardValve = own.Curve.KneeKpa < HardKneeKpa && reference.Curve.KneeKpa < HardKneeKpa,
            };
    }

    /// <summary>Cold oil lifts pressure to the relief valve at speeds where hot oil does not: there the valve alone sets it, and neither oil nor clearances do.</summary>
    private static double PlateauOf(HealthyReference own, HealthyReference reference, double topRpm)
    {
        double thick = Math.Min(own.Thickest, reference.Thickest);
        double rpm = PlateauShare * topRpm;
        return OnPlateau(own.Curve, rpm, thick) && OnPlateau(reference.Curve, rpm, thick) ? own.Curve.At(rpm, thick) / reference.Curve.At(rpm, thick) : double.NaN;
    }

    /// <summary>The reference's curve with its ramp lowered to this run's: the valve as it was.</summary>
    private static PressureCurve Thinner(PressureCurve own, PressureCurve reference)
    {
        double share = Ramp(own, LowRpm, 1) / Ramp(reference, LowRpm, 1);
        return reference with { GainKpa = reference.GainKpa * share, OffsetKpa = reference.OffsetKpa * share };
    }

    private static bool OnPlateau(PressureCurve curve, double rpm, double thick) => Ramp(curve, rpm, thick) >= SurelyAbove * Plateau(curve, rpm);

    private static double Ramp(PressureCurve curve, double rpm, double thick) => (curve.GainKpa * (rpm / 1000) * Math.Pow(thick, curve.ViscosityPower)) + curve.OffsetKpa;

    private static double Plateau(PressureCurve curve, double rpm) => curve.ReliefKpa + (curve.ReliefSlopeKpa * (rpm / 1000));
}
