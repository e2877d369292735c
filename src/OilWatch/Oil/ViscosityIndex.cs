namespace OilWatch.Oil;

/// <summary>ASTM D2270 viscosity index: how little an oil thins with heat.</summary>
/// <remarks>
/// The reference viscosities L and H come from the standard's table, which is not included; from 70 mm²/s at 100 °C on
/// they have a formula, <see cref="ReferencesAbove70"/>. Source: ASTM D2270, check-values 1.3.
/// </remarks>
public static class ViscosityIndex
{
    /// <summary>The index of an oil, not rounded; the standard reports a whole number.</summary>
    /// <param name="viscosity40C">Kinematic viscosity at 40 °C, mm²/s (cSt), above 0.</param>
    /// <param name="viscosity100C">Kinematic viscosity at 100 °C, mm²/s (cSt), 2.0 or more.</param>
    /// <param name="referenceL">Viscosity at 40 °C of the oil of index 0 with the same viscosity at 100 °C, mm²/s.</param>
    /// <param name="referenceH">Viscosity at 40 °C of the oil of index 100 with the same viscosity at 100 °C, mm²/s, below <paramref name="referenceL"/>.</param>
    /// <returns>Procedure A up to 100, procedure B above.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A value is out of range; below 2.0 mm²/s at 100 °C the index is not defined.</exception>
    public static double From(double viscosity40C, double viscosity100C, double referenceL, double referenceH)
    {
        if (!(viscosity100C >= 2.0))
            throw new ArgumentOutOfRangeException(nameof(viscosity100C), viscosity100C, "the viscosity index is defined from 2.0 mm²/s at 100 °C on");
        if (!(viscosity40C > 0))
            throw new ArgumentOutOfRangeException(nameof(viscosity40C), viscosity40C, "the viscosity at 40 °C must be above 0");
        if (!(referenceH > 0 && referenceL > referenceH))
            throw new ArgumentOutOfRangeException(nameof(referenceL), referenceL, "L must be above H, and H above 0");

        if (viscosity40C >= referenceH) return 100 * (referenceL - viscosity40C) / (referenceL - referenceH);
        double n = Math.Log10(referenceH / viscosity40C) / Math.Log10(viscosity100C);
        return ((Math.Pow(10, n) - 1) / 0.00715) + 100;
    }

    /// <summary>L and H for oils of more than 70 mm²/s at 100 °C.</summary>
    /// <param name="viscosity100C">Kinematic viscosity at 100 °C, mm²/s (cSt), 70 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">Below 70: look the values up in the standard's table.</exception>
    public static (double L, double H) ReferencesAbove70(double viscosity100C)
    {
        if (!(viscosity100C >= 70))
            throw new ArgumentOutOfRangeException(nameof(viscosity100C), viscosity100C, "the formula holds from 70 mm²/s on; below, take L and H from the table of ASTM D2270");
        double y = viscosity100C;
        return ((0.8353 * y * y) + (14.67 * y) - 216, (0.1684 * y * y) + (11.85 * y) - 97);
    }
}
