namespace OilWatch.Oil;

/// <summary>Kinematic viscosity of one oil against temperature: the Walther equation as ASTM D341 writes it.</summary>
/// <remarks>
/// log10 log10 Z = A − B · log10 T, with T in kelvin and Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²), ν in mm²/s.
/// The exponential is D341's correction for thin oils: 0.0008 at 2 mm²/s, under 0.00001 from 3 mm²/s on. It is kept at every
/// viscosity, so that the curve has no step where it sets in. Source: ASTM D341, check-values 1.1.
/// </remarks>
public readonly record struct WaltherViscosity
{
    /// <summary>0 °C in kelvin. Some published examples use 273, which changes A and B in the third digit.</summary>
    private const double ZeroCelsiusK = 273.15;

    private WaltherViscosity(double a, double b)
    {
        A = a;
        B = b;
    }

    /// <summary>The level of the line, no unit.</summary>
    public double A { get; }

    /// <summary>The slope of the line, no unit; the larger, the faster the oil thins with heat.</summary>
    public double B { get; }

    /// <summary>The curve through the two numbers of a data sheet.</summary>
    /// <param name="viscosity40C">Kinematic viscosity at 40 °C, mm²/s (cSt), above <paramref name="viscosity100C"/>, at most 100 000.</param>
    /// <param name="viscosity100C">Kinematic viscosity at 100 °C, mm²/s (cSt), at least 0.2.</param>
    /// <exception cref="ArgumentOutOfRangeException">A viscosity is out of range, or the oil would not thin with heat.</exception>
    public static WaltherViscosity Through(double viscosity40C, double viscosity100C) =>
        Through(40, viscosity40C, 100, viscosity100C);

    /// <summary>The curve through two measured points.</summary>
    /// <param name="coldC">Temperature of the first point, °C, above -273.15.</param>
    /// <param name="coldViscosity">Kinematic viscosity there, mm²/s, at most 100 000.</param>
    /// <param name="hotC">Temperature of the second point, °C, above <paramref name="coldC"/>.</param>
    /// <param name="hotViscosity">Kinematic viscosity there, mm²/s, 0.2 or more and below <paramref name="coldViscosity"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is out of range, or the oil would not thin with heat.</exception>
    public static WaltherViscosity Through(double coldC, double coldViscosity, double hotC, double hotViscosity)
    {
        if (!(coldC > -ZeroCelsiusK && double.IsFinite(hotC) && hotC > coldC))
            throw new ArgumentOutOfRangeException(nameof(hotC), hotC, "the second temperature must be above the first");
        if (!(hotViscosity >= 0.2))
            throw new ArgumentOutOfRangeException(nameof(hotViscosity), hotViscosity, "the viscosity at the higher temperature must be 0.2 mm²/s or more");
        if (!(coldViscosity > hotViscosity && coldViscosity <= 100_000))
            throw new ArgumentOutOfRangeException(nameof(coldViscosity), coldViscosity, "the viscosity at the lower temperature must be above that at the higher one, and 100000 mm²/s at most");

        double cold = Math.Log10(Math.Log10(ZFromViscosity(coldViscosity)));
        double hot = Math.Log10(Math.Log10(ZFromViscosity(hotViscosity)));
        double logCold = Math.Log10(coldC + ZeroCelsiusK);
        double b = (cold - hot) / (Math.Log10(hotC + ZeroCelsiusK) - logCold);
        return new WaltherViscosity(cold + (b * logCold), b);
    }

    /// <summary>Kinematic viscosity at a temperature.</summary>
    /// <param name="temperatureC">Oil temperature, °C.</param>
    /// <returns>mm²/s (cSt); NaN when the temperature is not finite or not above -273.15 °C; grows without limit far below 0 °C.</returns>
    public double AtCelsius(double temperatureC)
    {
        double kelvin = temperatureC + ZeroCelsiusK;
        if (!(kelvin > 0 && double.IsFinite(kelvin))) return double.NaN;
        return ViscosityFromZ(Math.Pow(10, Math.Pow(10, A - (B * Math.Log10(kelvin)))));
    }

    /// <summary>D341's Z of a viscosity in mm²/s.</summary>
    internal static double ZFromViscosity(double v) => v + 0.7 + Math.Exp(-1.47 - (1.84 * v) - (0.51 * v * v));

    /// <summary>D341's way back from Z to mm²/s; agrees with <see cref="ZFromViscosity"/> within 0.0002 mm²/s from 0.5 mm²/s on.</summary>
    internal static double ViscosityFromZ(double z)
    {
        double x = z - 0.7;
        // Above 20 the term is smaller than a double can show, and its cube would only meet infinities.
        return x > 20 ? x : x - Math.Exp(-0.7487 - (3.295 * x) + (0.6119 * x * x) - (0.3193 * x * x * x));
    }
}
