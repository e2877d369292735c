namespace OilWatch.Pressure;

/// <summary>What a healthy oil system shows against engine speed and oil temperature.</summary>
/// <remarks>
/// A positive-displacement pump feeds leak paths whose flow is laminar: pressure rises with speed times viscosity until the
/// relief valve opens, then nearly flat.
/// <code>ramp    = Gain · gain(t) · n/1000 · (ν(T)/ν(100 °C))^ViscosityPower + Offset
/// plateau = Relief + ReliefSlope · n/1000
/// healthy = smooth minimum of the two, rounded over Knee</code>
/// The smooth minimum is (x + y − √((x − y)² + Knee²)) / 2. Laminar leakage would give a power of 1; orifices and the
/// shear thinning of multigrade oil bring it down, so it is fitted.
/// </remarks>
/// <param name="GainKpa">Rise of pressure, kPa for each 1000 rpm at the viscosity of 100 °C.</param>
/// <param name="ViscosityPower">Power of the viscosity ratio, 0 to 1.2; 0 where temperature is not known.</param>
/// <param name="OffsetKpa">Pressure that the ramp would have at standstill, kPa.</param>
/// <param name="ReliefKpa">Relief plateau extended to standstill, kPa.</param>
/// <param name="ReliefSlopeKpa">Rise of the plateau, kPa for each 1000 rpm.</param>
/// <param name="KneeKpa">How far the knee is rounded, kPa, 0 or more.</param>
public readonly record struct PressureCurve(
    double GainKpa, double ViscosityPower, double OffsetKpa, double ReliefKpa, double ReliefSlopeKpa, double KneeKpa)
{
    /// <summary>Healthy pressure, kPa gauge, never below 0.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="viscosityRatio">ν(T)/ν(100 °C), &gt; 0; 1 where temperature is not known.</param>
    /// <param name="gain">Factor on the ramp that follows the run; 1 for none.</param>
    public double At(double speedRpm, double viscosityRatio, double gain = 1) =>
        AtPower(speedRpm, ViscosityPower == 0 ? 1 : Math.Pow(viscosityRatio, ViscosityPower), gain);

    /// <summary>Healthy pressure where the power of the viscosity ratio is known already.</summary>
    internal double AtPower(double speedRpm, double power, double gain)
    {
        double n = speedRpm / 1000;
        double ramp = (GainKpa * gain * n * power) + OffsetKpa;
        double plateau = ReliefKpa + (ReliefSlopeKpa * n);
        double apart = ramp - plateau;
        return Math.Max(0, 0.5 * (ramp + plateau - Math.Sqrt((apart * apart) + (KneeKpa * KneeKpa))));
    }

    /// <summary>How much healthy pressure changes for a relative change of the ramp's gain, kPa.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="power">The power of the viscosity ratio.</param>
    /// <param name="gain">Factor on the ramp.</param>
    internal double GainSlopeAtPower(double speedRpm, double power, double gain)
    {
        const double Step = 0.01;
        return (AtPower(speedRpm, power, gain * (1 + Step)) - AtPower(speedRpm, power, gain * (1 - Step))) / (2 * Step);
    }
}
