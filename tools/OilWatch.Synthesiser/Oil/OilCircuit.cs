namespace OilWatch.Synthesiser.Oil;

/// <summary>Pump, bearing leaks and relief valve in the steady state.</summary>
/// <remarks>
/// Flow of a positive-displacement pump D·n·η against laminar leaks Q = K·p/µ and a relief valve whose flow rises with
/// the pressure above its set point. With a hard knee: p = Q·µ/K below the set point, (Q + k·p_r)/(K/µ + k) above.
/// Definitions; the numbers that the tests hold it to are computed from the same formula elsewhere.
/// </remarks>
public sealed record OilCircuit
{
    /// <summary>Oil pumped in one crank revolution, cm³.</summary>
    public required double DisplacementCm3 { get; init; }

    /// <summary>Volumetric efficiency of the pump with its inlet covered, 0 to 1.</summary>
    public required double Efficiency { get; init; }

    /// <summary>Conductance of all leaks, m³ (flow times viscosity over pressure).</summary>
    public required double LeakM3 { get; init; }

    /// <summary>Pressure at which the relief valve begins to open, kPa.</summary>
    public required double ReliefKpa { get; init; }

    /// <summary>Flow through the relief valve per pressure above its set point, m³/(s·Pa).</summary>
    public required double ReliefFlow { get; init; }

    /// <summary>Width over which the valve opens gradually, kPa; 0 is a hard knee.</summary>
    public double ReliefSoftnessKpa { get; init; }

    /// <summary>A second valve that limits cold pressure, kPa; infinity is none.</summary>
    public double ColdReliefKpa { get; init; } = double.PositiveInfinity;

    /// <summary>Engine speed from which the pump cavitates, rpm; infinity is never.</summary>
    public double CavitationFromRpm { get; init; } = double.PositiveInfinity;

    /// <summary>Share of flow lost 1000 rpm above <see cref="CavitationFromRpm"/>, growing with the square.</summary>
    public double CavitationLoss { get; init; }

    /// <summary>Flow of the pump.</summary>
    /// <param name="rpm">Engine speed, rpm, &gt;= 0.</param>
    /// <param name="airShare">Share of the inlet that is air, 0 to 1.</param>
    /// <returns>m³/s.</returns>
    public double PumpFlow(double rpm, double airShare)
    {
        double above = Math.Max(0, rpm - CavitationFromRpm) / 1000;
        double loss = Math.Min(0.6, CavitationLoss * above * above);
        return DisplacementCm3 * 1e-6 * rpm / 60 * Efficiency * (1 - loss) * (1 - airShare);
    }

    /// <summary>Gallery pressure at which leaks and relief take the pump's flow.</summary>
    /// <param name="flow">Pump flow, m³/s.</param>
    /// <param name="viscosityPaS">Dynamic viscosity in the clearances, Pa·s, &gt; 0.</param>
    /// <returns>kPa gauge.</returns>
    public double PressureKpa(double flow, double viscosityPaS)
    {
        double leak = LeakM3 / viscosityPaS;
        double free = flow / leak / 1000;
        double hard = WithValve(flow, leak, free, ReliefKpa);
        double pressure = ReliefSoftnessKpa > 0 ? WithSoftValve(flow, leak, hard) : hard;
        return pressure > ColdReliefKpa ? WithValve(flow, leak + ReliefFlow, pressure, ColdReliefKpa, ReliefFlow * ReliefKpa * 1000) : pressure;
    }

    private double WithValve(double flow, double leak, double without, double opensKpa, double alreadyPa = 0) =>
        without <= opensKpa ? without : (flow + alreadyPa + (ReliefFlow * opensKpa * 1000)) / (leak + ReliefFlow) / 1000;

    // Newton's method on a convex, rising function: flow = leak·p + k·w·ln(1 + exp((p - p_r)/w)).
    private double WithSoftValve(double flow, double leak, double start)
    {
        double p = start;
        for (int i = 0; i < 12; i++)
        {
            double x = (p - ReliefKpa) / ReliefSoftnessKpa;
            double soft = x > 30 ? x : Math.Log(1 + Math.Exp(x));
            double slope = 1 / (1 + Math.Exp(-x));
            double over = (leak * p * 1000) + (ReliefFlow * ReliefSoftnessKpa * 1000 * soft) - flow;
            double change = over / ((leak + (ReliefFlow * slope)) * 1000);
            p -= change;
            if (Math.Abs(change) < 1e-9) break;
        }

        return p;
    }
}
