namespace OilWatch.Synthesiser.Oil;

/// <summary>Viscosity of an oil against temperature through its two data-sheet points.</summary>
/// <remarks>
/// Walther's equation as in ASTM D341: log10 log10(v + 0.7) = A - B log10 T, v in mm²/s, T in K.
/// Density 870 kg/m³ at 15 °C less 0.65 kg/m³ a degree, the usual figure for engine oils (common practice).
/// </remarks>
public sealed class WaltherOil
{
    private const double KelvinAtZeroC = 273.15;

    private readonly double _a;
    private readonly double _b;

    /// <summary>An oil from its two points.</summary>
    /// <param name="at40Cst">Kinematic viscosity at 40 °C, mm²/s, &gt; <paramref name="at100Cst"/>.</param>
    /// <param name="at100Cst">Kinematic viscosity at 100 °C, mm²/s, &gt; 2.</param>
    public WaltherOil(double at40Cst, double at100Cst)
    {
        At40Cst = at40Cst;
        At100Cst = at100Cst;
        double log40 = Math.Log10(40 + KelvinAtZeroC);
        double log100 = Math.Log10(100 + KelvinAtZeroC);
        _b = (LogLog(at40Cst) - LogLog(at100Cst)) / (log100 - log40);
        _a = LogLog(at40Cst) + (_b * log40);
    }

    /// <summary>Kinematic viscosity at 40 °C, mm²/s.</summary>
    public double At40Cst { get; }

    /// <summary>Kinematic viscosity at 100 °C, mm²/s.</summary>
    public double At100Cst { get; }

    /// <summary>Kinematic viscosity, mm²/s.</summary>
    /// <param name="celsius">Temperature, °C, -20 to 180.</param>
    public double KinematicCst(double celsius) =>
        Math.Pow(10, Math.Pow(10, _a - (_b * Math.Log10(celsius + KelvinAtZeroC)))) - 0.7;

    /// <summary>Dynamic viscosity, Pa·s.</summary>
    /// <param name="celsius">Temperature, °C, -20 to 180.</param>
    public double DynamicPaS(double celsius) => KinematicCst(celsius) * 1e-6 * (870 - (0.65 * (celsius - 15)));

    private static double LogLog(double cst) => Math.Log10(Math.Log10(cst + 0.7));
}
