namespace OilWatch.Pressure;

/// <summary>What a healthy oil system shows against engine speed and oil temperature.</summary>
/// <remarks>
/// A positive-displacement pump feeds leak paths whose flow is laminar: pressure rises with speed times viscosity until the
/// relief valve opens, then nearly flat.
/// <code>ramp    = Gain · gain(t) · n/1000 · (ν(T)/ν(100 °C))^ViscosityPower + Offset
/// plateau = Relief + ReliefSlope · n/1000
/// healthy = smooth minimum of the two, rounded over Knee</code>
/// A relief valve passes what the clearances do not take. With <see cref="SlopeFromOpening"/> the plateau therefore rises from the speed at which
/// the valve opens, which is lower in thick oil, and cold oil stands higher on it than hot oil at the same speed:
/// <code>ramp per 1000 rpm R = Gain · gain(t) · (ν(T)/ν(100 °C))^ViscosityPower
/// plateau = Relief + R · ReliefSlope / (R + ReliefSlope) · (n/1000 − (Relief − Offset) / R)</code>
/// which is the pressure at which what the pump delivers, n/1000, goes through clearances, (P − Offset)/R, and valve, (P − Relief)/ReliefSlope.
/// The smooth minimum is (x + y − √((x − y)² + Knee²)) / 2. Laminar leakage would give a power of 1; orifices and the
/// shear thinning of multigrade oil bring it down, so it is fitted.
/// </remarks>
/// <param name="GainKpa">Rise of pressure, kPa for each 1000 rpm at the viscosity of 100 °C.</param>
/// <param name="ViscosityPower">Power of the viscosity ratio, 0 to 1.2; 0 where temperature is not known.</param>
/// <param name="OffsetKpa">Pressure that the ramp would have at standstill, kPa.</param>
/// <param name="ReliefKpa">Relief plateau extended to standstill, kPa; with <see cref="SlopeFromOpening"/> where the valve opens.</param>
/// <param name="ReliefSlopeKpa">Rise of the plateau, kPa for each 1000 rpm; with <see cref="SlopeFromOpening"/> for each 1000 rpm of delivery that the valve passes, 0 or more.</param>
/// <param name="KneeKpa">How far the knee is rounded, kPa, 0 or more.</param>
public readonly record struct PressureCurve(
    double GainKpa, double ViscosityPower, double OffsetKpa, double ReliefKpa, double ReliefSlopeKpa, double KneeKpa)
{
    /// <summary>True when the plateau rises from where the valve opens, false when from standstill.</summary>
    public bool SlopeFromOpening { get; init; }

    /// <summary>Healthy pressure, kPa gauge, never below 0.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="viscosityRatio">ν(T)/ν(100 °C), &gt; 0; 1 where temperature is not known.</param>
    /// <param name="gain">Factor on the ramp that follows the run; 1 for none.</param>
    public double At(double speedRpm, double viscosityRatio, double gain = 1) =>
        AtPower(speedRpm, ViscosityPower == 0 ? 1 : Math.Pow(viscosityRatio, ViscosityPower), gain);

    /// <summary>Healthy pressure where the power of the viscosity ratio is known already.</summary>
    internal double AtPower(double speedRpm, double power, double gain)
    {
        double n = speedRpm / 1000, rise = GainKpa * gain * power;
        return Joined((rise * n) + OffsetKpa, PlateauKpa(n, rise));
    }

    private double PlateauKpa(double thousandRpm, double rise) => SlopeFromOpening
        ? ReliefKpa + (rise * ReliefSlopeKpa / (rise + ReliefSlopeKpa) * (thousandRpm - ((ReliefKpa - OffsetKpa) / rise)))
        : ReliefKpa + (ReliefSlopeKpa * thousandRpm);

    private double Joined(double ramp, double plateau)
    {
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
        double n = speedRpm / 1000, rise = GainKpa * gain * power, plateau = PlateauKpa(n, rise);
        return (Joined((rise * (1 + Step) * n) + OffsetKpa, plateau) - Joined((rise * (1 - Step) * n) + OffsetKpa, plateau)) / (2 * Step);
    }
}
