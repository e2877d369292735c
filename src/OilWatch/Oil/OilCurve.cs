using OilWatch.Cars;

namespace OilWatch.Oil;

/// <summary>The viscosity curve of the oil in the car, with where it comes from.</summary>
/// <param name="Viscosity">Viscosity against temperature.</param>
/// <param name="Origin">Where its two points come from, one sentence for people.</param>
public sealed record OilCurve(WaltherViscosity Viscosity, string Origin)
{
    /// <summary>The curve for what the car file says of the oil.</summary>
    /// <param name="car">The car's settings.</param>
    /// <returns>
    /// The curve through the two data-sheet viscosities where both are given and usable; through the grade's assumed ones for
    /// whatever of them is not; null when the car file says nothing usable of the oil.
    /// </returns>
    public static OilCurve? For(CarSettings car)
    {
        ArgumentNullException.ThrowIfNull(car);
        OilGrade? grade = OilGrade.TryParse(car.OilGrade, out OilGrade? named) ? named : null;
        double? cold = car.Viscosity40CCst ?? grade?.Typical40CCst;
        double? hot = car.Viscosity100CCst ?? grade?.Midrange100CCst;
        if (cold is not { } v40 || hot is not { } v100 || !CanBeJoined(v40, v100)) return null;

        string origin = (car.Viscosity40CCst, car.Viscosity100CCst) switch
        {
            ({ }, { }) => FormattableString.Invariant($"the oil's data sheet: {v40} mm²/s at 40 °C, {v100} mm²/s at 100 °C"),
            (null, null) => FormattableString.Invariant($"assumed for {grade}: the middle of its SAE J300 range, {v100:0.0} mm²/s at 100 °C, and a typical {v40:0} mm²/s at 40 °C"),
            ({ }, null) => FormattableString.Invariant($"the oil's data sheet at 40 °C, {v40} mm²/s; at 100 °C the middle of the SAE J300 range of {grade}, {v100:0.0} mm²/s"),
            (null, { }) => FormattableString.Invariant($"the oil's data sheet at 100 °C, {v100} mm²/s; at 40 °C a typical {v40:0} mm²/s for {grade}"),
        };
        return new OilCurve(WaltherViscosity.Through(v40, v100), origin);
    }

    private static bool CanBeJoined(double v40, double v100) => v100 >= 0.2 && v40 > v100 && v40 <= 100_000;
}
