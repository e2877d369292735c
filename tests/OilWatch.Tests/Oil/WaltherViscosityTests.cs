using CsCheck;
using OilWatch.Oil;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Oil;

public sealed class WaltherViscosityTests
{
    // check-values 1.1, rows with T = t + 273.15 (COMPUTED Python): A and B to their last digit, viscosities 1e-4 relative.
    [Theory]
    [InlineData(32, 5.4, 9.530815, 3.746578)]
    [InlineData(46, 6.8, 9.417993, 3.684441)]
    [InlineData(100, 14, 7.989091, 3.080195)]
    [InlineData(160, 24, 6.891945, 2.623792)]
    public void Line_through_two_data_sheet_points(double v40, double v100, double a, double b)
    {
        WaltherViscosity oil = WaltherViscosity.Through(v40, v100);
        Assert.Equal(a, oil.A, 1e-6);
        Assert.Equal(b, oil.B, 1e-6);
        Assert.Equal(v40, oil.AtCelsius(40), v40 * 1e-9);
        Assert.Equal(v100, oil.AtCelsius(100), v100 * 1e-9);
    }

    // check-values 1.1 (COMPUTED), tolerance 1e-4 relative as stated there.
    [Theory]
    [InlineData(32, 5.4, 0, 335.9996)]
    [InlineData(32, 5.4, 20, 86.2779)]
    [InlineData(32, 5.4, 60, 15.1859)]
    [InlineData(32, 5.4, 80, 8.5332)]
    [InlineData(32, 5.4, 120, 3.7239)]
    [InlineData(32, 5.4, 150, 2.3923)]
    [InlineData(46, 6.8, 0, 577.3214)]
    [InlineData(46, 6.8, 20, 133.8382)]
    [InlineData(46, 6.8, 80, 11.1026)]
    [InlineData(46, 6.8, 120, 4.5714)]
    [InlineData(46, 6.8, 150, 2.8530)]
    [InlineData(100, 14, 20, 284.1125)]
    [InlineData(100, 14, 60, 44.5137)]
    [InlineData(100, 14, 80, 23.4649)]
    [InlineData(100, 14, 120, 9.1607)]
    [InlineData(100, 14, 130, 7.6159)]
    [InlineData(100, 14, 150, 5.5010)]
    [InlineData(160, 24, 20, 419.1456)]
    [InlineData(160, 24, 60, 74.3345)]
    [InlineData(160, 24, 120, 15.6833)]
    [InlineData(160, 24, 130, 13.0072)]
    [InlineData(160, 24, 150, 9.3302)]
    public void Viscosity_at_a_temperature(double v40, double v100, double celsius, double expected) =>
        Assert.Equal(expected, WaltherViscosity.Through(v40, v100).AtCelsius(celsius), expected * 1e-4);

    // check-values 1.1, first row: a D341 spreadsheet that uses T = t + 273 (FOUND A 9.5259, B 3.7449, v 8.5; COMPUTED 1e-6).
    // Shifting every temperature by -0.15 K gives its scale.
    [Fact]
    public void Line_of_the_published_spreadsheet_on_its_own_kelvin_scale()
    {
        const double Shift = -0.15;
        WaltherViscosity oil = WaltherViscosity.Through(40 + Shift, 32, 100 + Shift, 5.4);
        Assert.Equal(9.525928, oil.A, 1e-6);
        Assert.Equal(3.744932, oil.B, 1e-6);
        Assert.Equal(8.533104, oil.AtCelsius(80 + Shift), 1e-6);
    }

    // check-values 1.1, the form below 2 mm²/s (FOUND second-hand, Z COMPUTED to seven digits).
    [Theory]
    [InlineData(0.5, 1.2806610)]
    [InlineData(1.0, 1.7219278)]
    [InlineData(1.5, 2.2046194)]
    [InlineData(2.0, 2.7007541)]
    public void Z_of_a_thin_oil_and_back(double viscosity, double z)
    {
        Assert.Equal(z, WaltherViscosity.ZFromViscosity(viscosity), 1e-7);
        Assert.Equal(viscosity, WaltherViscosity.ViscosityFromZ(z), 2e-4);   // round trip: check-values 1.1
    }

    [Fact]
    public void Round_trip_through_Z_is_within_its_published_error_at_every_viscosity() =>
        Gen.Double[0.5, 1000].Holds(10_000,
            v => Math.Abs(WaltherViscosity.ViscosityFromZ(WaltherViscosity.ZFromViscosity(v)) - v) < 2e-4);

    [Fact]
    public void An_oil_thins_as_it_heats_without_a_step() =>
        Gen.Select(Gen.Double[2.0, 30], Gen.Double[1.05, 12], Gen.Double[-20, 180]).Holds(10_000,
            (v100, ratio, celsius) =>
            {
                WaltherViscosity oil = WaltherViscosity.Through(v100 * ratio, v100);
                double here = oil.AtCelsius(celsius);
                double warmer = oil.AtCelsius(celsius + 0.001);
                return warmer < here && warmer > here * 0.999;
            });

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(-273.15)]
    [InlineData(-400)]
    public void No_viscosity_at_a_temperature_that_cannot_be(double celsius) =>
        Assert.True(double.IsNaN(WaltherViscosity.Through(100, 14).AtCelsius(celsius)));

    [Theory]
    [InlineData(14, 14)]
    [InlineData(14, 100)]
    [InlineData(double.NaN, 14)]
    [InlineData(100, double.NaN)]
    [InlineData(100, 0.1)]
    [InlineData(200_000, 14)]
    [InlineData(double.PositiveInfinity, 14)]
    public void Points_that_make_no_oil_are_refused(double v40, double v100) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => WaltherViscosity.Through(v40, v100));
}
