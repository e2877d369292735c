namespace OilWatch.Causes;

/// <summary>Pressure at which clearances and relief valve take what the pump delivers, in flow that is counted in 1000 rpm of the pump.</summary>
/// <remarks>
/// <code>
/// n · (1 − fall-off) = p / (Gain · thickness^Power) + Jet · √p
///     + ValveFlow · (softplus of (p − Relief) + SecondShare · softplus of (p − Second)) over Softness
/// </code>
/// Laminar flow through the clearances goes with viscosity; oil jets and the valve do not. So thinner oil and larger clearances change the gain alone, and the valve
/// opens where it did. The fall-off is that of a pump that cavitates near the top: it grows with the square of the speed above <see cref="FallsOffFromRpm"/>.
/// </remarks>
internal readonly record struct FlowBalance
{
    private const double LargestFallOff = 0.6;
    private const double NearEnoughKpa = 1e-6;
    private const int MostSteps = 30;

    /// <summary>kPa for each 1000 rpm through the clearances at the viscosity of 100 °C.</summary>
    public required double GainKpa { get; init; }

    /// <summary>Power of the viscosity ratio.</summary>
    public required double Power { get; init; }

    /// <summary>Pressure at which the relief valve opens, kPa.</summary>
    public required double ReliefKpa { get; init; }

    /// <summary>What the open valve passes, 1000 rpm for each kPa.</summary>
    public required double ValveFlow { get; init; }

    /// <summary>Over how much pressure it opens, kPa.</summary>
    public required double SoftnessKpa { get; init; }

    /// <summary>Pressure at which a second stage of the valve opens, or a second valve, as cold oil needs one, kPa.</summary>
    public double SecondKpa { get; init; }

    /// <summary>What that passes, as a share of <see cref="ValveFlow"/>; 0 where there is none.</summary>
    public double SecondShare { get; init; }

    /// <summary>What passes orifices, 1000 rpm for each root of a kPa.</summary>
    public required double Jet { get; init; }

    /// <summary>Share of delivery that is lost 1000 rpm above <see cref="FallsOffFromRpm"/>.</summary>
    public required double FallOff { get; init; }

    /// <summary>Engine speed from which delivery falls off, rpm.</summary>
    public required double FallsOffFromRpm { get; init; }

    /// <summary>Pressure, kPa: Newton's method, kept between bounds.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="thickness">Viscosity against that of 100 °C.</param>
    /// <param name="delivery">Share of its delivery that the pump still has.</param>
    public double PressureKpa(double speedRpm, double thickness, double delivery = 1)
    {
        double above = Math.Max(0, speedRpm - FallsOffFromRpm) / 1000;
        double delivered = delivery * speedRpm / 1000 * (1 - Math.Min(LargestFallOff, FallOff * above * above));
        double clearances = 1 / (GainKpa * Math.Pow(thickness, Power));
        double low = 0, high = delivered / clearances;
        double pressure = Math.Min(high, (delivered + (ValveFlow * ReliefKpa)) / (clearances + ValveFlow));
        for (int i = 0; i < MostSteps; i++)
        {
            (double flow, double slope) = Through(pressure - ReliefKpa);
            if (SecondShare > 0)
            {
                (double more, double steeper) = Through(pressure - SecondKpa);
                flow += SecondShare * more;
                slope += SecondShare * steeper;
            }
            double root = Math.Sqrt(Math.Max(pressure, 1));
            double over = (clearances * pressure) + (Jet * root) - delivered + (ValveFlow * flow);
            if (over > 0) high = Math.Min(high, pressure);
            else low = Math.Max(low, pressure);
            double next = pressure - (over / (clearances + (ValveFlow * slope) + (0.5 * Jet / root)));
            if (!(next >= low && next <= high)) next = 0.5 * (low + high);
            if (Math.Abs(next - pressure) < NearEnoughKpa) return next;
            pressure = next;
        }
        return pressure;
    }

    /// <summary>Flow through a valve for each of its valve flow, and how fast it grows with pressure.</summary>
    private (double Flow, double Slope) Through(double aboveKpa)
    {
        double grown = Math.Exp(-Math.Abs(aboveKpa) / SoftnessKpa);
        return (Math.Max(0, aboveKpa) + (SoftnessKpa * Math.Log(1 + grown)), aboveKpa > 0 ? 1 / (1 + grown) : grown / (1 + grown));
    }
}
