using CsCheck;
using OilWatch.Channels;
using OilWatch.Tests.Cars;
using UnitsNet.Units;

namespace OilWatch.Tests.Channels;

public sealed class UnitsTests
{
    // check-values 12: exact by definition, or COMPUTED decimal with GNU units agreeing; tolerance 1e-12 relative.
    [Theory]
    [InlineData(Role.OilPressure, "psi", 1, 6.8947572931683613)]
    [InlineData(Role.OilPressure, "bar", 1, 100)]
    [InlineData(Role.OilPressure, "bar", 1.01325, 101.325)]
    [InlineData(Role.OilPressure, "atm", 1, 101.325)]
    [InlineData(Role.OilPressure, "inHg", 1, 3.386388640341)]
    [InlineData(Role.OilPressure, "mmHg", 1, 0.133322387415)]
    [InlineData(Role.OilPressure, "torr", 760, 101.325)]
    [InlineData(Role.OilPressure, "inH2O", 1, 0.24908891)]
    [InlineData(Role.OilPressure, "psi", 14.503773773020921, 100)]
    [InlineData(Role.LateralG, "m/s²", 9.80665, 1)]
    [InlineData(Role.OilTemperature, "°F", -40, -40)]
    [InlineData(Role.OilTemperature, "°F", 212, 100)]
    [InlineData(Role.OilTemperature, "°F", 230, 110)]
    [InlineData(Role.OilTemperature, "K", 373.15, 100)]
    [InlineData(Role.VehicleSpeed, "mph", 1, 1.609344)]
    [InlineData(Role.VehicleSpeed, "m/s", 0.44704, 1.609344)]
    [InlineData(Role.VehicleSpeed, "kn", 1, 1.852)]
    [InlineData(Role.EngineSpeed, "rad/s", 0.10471975511965978, 1)]
    [InlineData(Role.EngineSpeed, "Hz", 1, 60)]
    public void Factors_are_exact(Role role, string unit, double value, double expected)
    {
        Assert.True(Units.TryConvert(role, unit, out UnitConversion conversion));
        Assert.Equal(expected, conversion.ToRoleUnit(value), Math.Abs(expected) * 1e-12);
    }

    // check-values 12, rows of Fahrenheit, pressures and vacuum, to the printed digits.
    [Theory]
    [InlineData(Role.OilTemperature, "degF", 0, -17.7777778, 5e-8)]
    [InlineData(Role.OilTemperature, "degF", 250, 121.1111111, 5e-8)]
    [InlineData(Role.OilTemperature, "degF", 280, 137.7777778, 5e-8)]
    [InlineData(Role.OilTemperature, "degF", 300, 148.8888889, 5e-8)]
    [InlineData(Role.OilPressure, "psi", 10, 68.94757293, 5e-9)]
    [InlineData(Role.OilPressure, "psi", 30, 206.84271880, 5e-9)]
    [InlineData(Role.OilPressure, "psi", 60, 413.68543759, 5e-9)]
    [InlineData(Role.OilPressure, "psi", 80, 551.58058345, 5e-9)]
    [InlineData(Role.OilPressure, "psi", 100, 689.47572932, 5e-9)]
    [InlineData(Role.CrankcasePressure, "inHg vac", 5, -16.9319, 5e-5)]
    [InlineData(Role.CrankcasePressure, "inHg vac", 10, -33.8639, 5e-5)]
    [InlineData(Role.CrankcasePressure, "inHg vac", 12, -40.6367, 5e-5)]
    [InlineData(Role.CrankcasePressure, "inHg vac", 15, -50.7958, 5e-5)]
    [InlineData(Role.CrankcasePressure, "inHg vac", 18, -60.9550, 5e-5)]
    [InlineData(Role.CrankcasePressure, "kPa abs", 84.3931, -16.9319, 5e-5)]
    [InlineData(Role.CrankcasePressure, "kPa abs", 40.3700, -60.9550, 5e-5)]
    public void Published_conversions(Role role, string unit, double value, double expected, double tolerance)
    {
        Assert.True(Units.TryConvert(role, unit, out UnitConversion conversion));
        Assert.Equal(expected, conversion.ToRoleUnit(value), tolerance);
    }

    [Theory]
    [InlineData("psi", "psi", "PSI", "Psi", "psig", "psi g", "psi (gauge)", "lbf/in²", "lb/in^2", "[psi]")]
    [InlineData("kPa", "kPa", "kpa", "KPA", "kPa gauge", "kPag", "kPa(g)")]
    [InlineData("kPa absolute", "kPa abs", "kPaA", "kPa (absolute)", "kpa_abs")]
    [InlineData("psi absolute", "psia", "PSIA", "psi abs")]
    [InlineData("bar absolute", "bara", "bar(a)", "bar abs")]
    [InlineData("bar", "bar", "Bar", "barg", "bar(g)")]
    [InlineData("mbar", "mbar", "millibar")]
    [InlineData("MPa", "MPa", "mpa")]
    [InlineData("Pa", "Pa", "pascal")]
    [InlineData("inHg", "inHg", "in Hg", "in.Hg", "\"Hg", "in_hg", "inches Hg")]
    [InlineData("inHg vacuum", "inHg vac", "in Hg vacuum", "inHgV")]
    [InlineData("mmHg", "mmHg", "mm Hg")]
    [InlineData("torr", "torr", "Torr")]
    [InlineData("inH2O", "inH2O", "in H2O", "inWC", "in. w.c.")]
    [InlineData("atm", "atm")]
    [InlineData("°C", "°C", "C", "degC", "deg C", "deg. C", "celsius", "ºC", "˚C", "℃", "\uFFFDC", "Â°C", "Deg_C")]
    [InlineData("°F", "°F", "F", "degF", "deg F", "Fahrenheit", "℉")]
    [InlineData("K", "K", "kelvin")]
    [InlineData("rpm", "rpm", "RPM", "1/min", "min-1", "min⁻¹", "r/min", "rev/min", "U/min")]
    [InlineData("rev/s", "rps", "Hz", "1/s", "rev/s")]
    [InlineData("rad/s", "rad/s")]
    [InlineData("g", "g", "G", "g's")]
    [InlineData("mg", "mg")]
    [InlineData("m/s²", "m/s²", "m/s^2", "m/s2", "m/s/s", "m·s⁻²", "ms-2")]
    [InlineData("ft/s²", "ft/s²", "ft/s^2")]
    [InlineData("km/h", "km/h", "kmh", "kph", "KPH", "km/hr")]
    [InlineData("mph", "mph", "MPH", "mi/h")]
    [InlineData("m/s", "m/s", "mps", "m·s⁻¹")]
    [InlineData("kn", "kn", "knots", "kts")]
    [InlineData("%", "%", "pct", "percent", "[%]")]
    [InlineData("ratio", "ratio", "0..1", "0-1")]
    [InlineData("m", "m", "metres", "meters")]
    [InlineData("km", "km")]
    [InlineData("ft", "ft", "feet")]
    [InlineData("mi", "mi", "miles")]
    [InlineData("deg", "deg", "°", "degrees")]
    [InlineData("rad", "rad")]
    [InlineData("V", "V", "volts", "Volt")]
    [InlineData("mV", "mV")]
    public void Spellings_of_a_unit(string name, params string[] spellings)
    {
        foreach (string spelling in spellings)
            Assert.Equal($"{spelling}: {name}", $"{spelling}: {Units.Find(spelling)?.Name}");
    }

    [Fact]
    public void Factors_agree_with_an_independent_library()
    {
        Check(Role.OilPressure, PressureUnit.Kilopascal,
            ("psi", PressureUnit.PoundForcePerSquareInch), ("bar", PressureUnit.Bar), ("mbar", PressureUnit.Millibar), ("Pa", PressureUnit.Pascal),
            ("hPa", PressureUnit.Hectopascal), ("MPa", PressureUnit.Megapascal), ("inHg", PressureUnit.InchOfMercury), ("mmHg", PressureUnit.MillimeterOfMercury),
            ("torr", PressureUnit.Torr), ("inH2O", PressureUnit.InchOfWaterColumn), ("atm", PressureUnit.Atmosphere),
            ("kgf/cm²", PressureUnit.KilogramForcePerSquareCentimeter));
        Check(Role.OilTemperature, TemperatureUnit.DegreeCelsius, ("°F", TemperatureUnit.DegreeFahrenheit), ("K", TemperatureUnit.Kelvin));
        Check(Role.EngineSpeed, RotationalSpeedUnit.RevolutionPerMinute,
            ("rev/s", RotationalSpeedUnit.RevolutionPerSecond), ("rad/s", RotationalSpeedUnit.RadianPerSecond), ("deg/s", RotationalSpeedUnit.DegreePerSecond));
        Check(Role.LateralG, AccelerationUnit.StandardGravity,
            ("m/s²", AccelerationUnit.MeterPerSecondSquared), ("ft/s²", AccelerationUnit.FootPerSecondSquared), ("mg", AccelerationUnit.MillistandardGravity));
        Check(Role.VehicleSpeed, SpeedUnit.KilometerPerHour,
            ("m/s", SpeedUnit.MeterPerSecond), ("mph", SpeedUnit.MilePerHour), ("kn", SpeedUnit.Knot), ("ft/s", SpeedUnit.FootPerSecond));
        Check(Role.Distance, LengthUnit.Meter,
            ("km", LengthUnit.Kilometer), ("ft", LengthUnit.Foot), ("mi", LengthUnit.Mile), ("yd", LengthUnit.Yard), ("nmi", LengthUnit.NauticalMile));
        Check(Role.Latitude, AngleUnit.Degree, ("rad", AngleUnit.Radian), ("arcmin", AngleUnit.Arcminute));
        Check(Role.Throttle, RatioUnit.Percent, ("ratio", RatioUnit.DecimalFraction));
        Check(Role.BatteryVoltage, ElectricPotentialUnit.Volt, ("mV", ElectricPotentialUnit.Millivolt));
    }

    /// <summary>Allowed: 5e-6 relative: the library's torr is 133.32266752 Pa, check-values 12 has 101325/760 = 133.322368421, which is followed here.</summary>
    private static void Check<TUnit>(Role role, TUnit to, params (string Word, TUnit From)[] units)
        where TUnit : struct, Enum
    {
        foreach ((string word, TUnit from) in units)
        {
            Assert.True(Units.TryConvert(role, word, out UnitConversion conversion));
            foreach (double value in (double[])[-40, 0, 1, 123.456])
            {
                double expected = UnitsNet.UnitConverter.Convert(value, from, to);
                Assert.Equal(expected, conversion.ToRoleUnit(value), 5e-6 * Math.Max(1, Math.Abs(expected)));
            }
        }
    }

    [Theory]
    [InlineData(Role.OilPressure, "V")]
    [InlineData(Role.OilPressure, "°C")]
    [InlineData(Role.Vibration, "km/h")]
    [InlineData(Role.LateralG, "mm/s")]
    [InlineData(Role.VehicleSpeed, "mm/s")]
    [InlineData(Role.Throttle, "deg")]
    [InlineData(Role.OilPressure, "furlong")]
    [InlineData(Role.OilPressure, "")]
    [InlineData(Role.OilPressure, null)]
    [InlineData(Role.Lap, "m")]
    public void A_unit_of_something_else_is_refused(Role role, string? unit) =>
        Assert.False(Units.TryConvert(role, unit, out _));

    [Fact]
    public void Every_role_with_a_unit_lists_its_own_first_and_reads_all_that_it_lists()
    {
        foreach (Role role in Roles.All.Where(role => role.Unit().Length > 0))
        {
            Assert.Equal(role.Unit(), Units.For(role)[0]);
            Assert.All(Units.For(role), unit => Assert.True(Units.TryConvert(role, unit, out _), unit));
            Assert.True(Units.TryConvert(role, role.Unit(), out UnitConversion conversion));
            Assert.Equal((1.0, 0.0), (conversion.Scale, conversion.Offset));
        }
        Assert.Empty(Units.For(Role.Lap));
    }

    [Fact]
    public void Every_spelling_can_be_reached() =>
        Assert.All(Units.Spellings, spelling => Assert.Equal(spelling, Units.Normalised(spelling)));

    [Fact]
    public void Any_text_is_looked_up_without_throwing() =>
        Gen.String[0, 60].Holds(20_000, text => Units.Find(text) is null or { Name.Length: > 0 });

    [Fact]
    public void A_sample_tells_what_was_seen()
    {
        ChannelSample sample = ChannelSample.Of([3, double.NaN, 1, 2, 2, double.PositiveInfinity, 5]);
        Assert.Equal(new ChannelSample(5, 1, 5, 2, 1.2, 4.6, 4), sample with { Low5 = Math.Round(sample.Low5, 9), High95 = Math.Round(sample.High95, 9) });
        Assert.Equal(ChannelSample.Empty, ChannelSample.Of([double.NaN]));
        Assert.Equal(0, ChannelSample.Of([]).Count);
    }
}
