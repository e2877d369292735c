using OilWatch.Cars;
using OilWatch.Oil;

namespace OilWatch.Tests.Oil;

public sealed class OilGradeTests
{
    // check-values 1.2, SAE J300 January 2015 (FOUND second-hand): kinematic viscosity at 100 °C and high-shear viscosity.
    [Theory]
    [InlineData("0W-8", 4.0, 6.1, 1.7)]
    [InlineData("0W-12", 5.0, 7.1, 2.0)]
    [InlineData("0W-16", 6.1, 8.2, 2.3)]
    [InlineData("0W-20", 6.9, 9.3, 2.6)]
    [InlineData("5W-30", 9.3, 12.5, 2.9)]
    [InlineData("0W-40", 12.5, 16.3, 3.5)]
    [InlineData("5W-40", 12.5, 16.3, 3.5)]
    [InlineData("10W-40", 12.5, 16.3, 3.5)]
    [InlineData("15W-40", 12.5, 16.3, 3.7)]
    [InlineData("20W-40", 12.5, 16.3, 3.7)]
    [InlineData("25W-40", 12.5, 16.3, 3.7)]
    [InlineData("40", 12.5, 16.3, 3.7)]
    [InlineData("5W-50", 16.3, 21.9, 3.7)]
    [InlineData("10W-60", 21.9, 26.1, 3.7)]
    public void Limits_of_a_grade(string name, double min, double max, double highShear)
    {
        Assert.True(OilGrade.TryParse(name, out OilGrade? grade));
        Assert.Equal((min, max, highShear), (grade.Min100CCst, grade.Max100CCst, grade.MinHighShearMpas));
        Assert.Equal((min + max) / 2, grade.Midrange100CCst);
    }

    // check-values 1.2, boundary row.
    [Theory]
    [InlineData(9.29, 20)]
    [InlineData(9.30, 30)]
    [InlineData(12.49, 30)]
    [InlineData(12.50, 40)]
    [InlineData(16.30, 50)]
    [InlineData(21.90, 60)]
    [InlineData(26.10, null)]
    [InlineData(3.99, null)]
    [InlineData(4.0, 8)]
    [InlineData(double.NaN, null)]
    public void Grade_that_a_measured_viscosity_falls_into(double viscosity, int? number) =>
        Assert.Equal(number, OilGrade.FromKinematic100C(viscosity)?.HotNumber);

    [Theory]
    [InlineData("5W-50", "5W-50")]
    [InlineData(" sae 5w50 ", "5W-50")]
    [InlineData("10W/40", "10W-40")]
    [InlineData("15 W - 40", "15W-40")]
    [InlineData("SAE 30", "SAE 30")]
    [InlineData("30", "SAE 30")]
    [InlineData("5W", null)]
    [InlineData("5W-45", null)]
    [InlineData("7W-50", null)]
    [InlineData("25W-20", null)]
    [InlineData("W-50", null)]
    [InlineData("5W-50-60", null)]
    [InlineData("-5W-50", null)]
    [InlineData("", null)]
    [InlineData(null, null)]
    public void Spellings_of_a_grade(string? text, string? name)
    {
        Assert.Equal(name is not null, OilGrade.TryParse(text, out OilGrade? grade));
        Assert.Equal(name, grade?.Name);
    }

    [Fact]
    public void Typical_viscosity_at_40C_follows_the_stated_ratios()
    {
        (string, double)[] ratios =
            [("0W-40", 5.6), ("5W-40", 6.0), ("10W-40", 6.8), ("15W-40", 7.5), ("20W-40", 8.5), ("25W-40", 9.0), ("SAE 40", 9.5)];
        foreach ((string name, double ratio) in ratios)
        {
            Assert.True(OilGrade.TryParse(name, out OilGrade? grade));
            Assert.Equal(14.4 * ratio, grade.Typical40CCst, 1e-9);
            Assert.Equal(14.4, grade.Viscosity.AtCelsius(100), 1e-8);
        }
    }

    [Fact]
    public void Curve_of_the_car_prefers_the_data_sheet()
    {
        var car = new CarSettings { OilGrade = "5W-50", Viscosity40CCst = 103, Viscosity100CCst = 17.2 };
        OilCurve curve = OilCurve.For(car)!;
        Assert.Equal(17.2, curve.Viscosity.AtCelsius(100), 1e-8);
        Assert.Equal("the oil's data sheet: 103 mm²/s at 40 °C, 17.2 mm²/s at 100 °C", curve.Origin);

        curve = OilCurve.For(new CarSettings { OilGrade = "5W-50" })!;
        Assert.Equal(19.1, curve.Viscosity.AtCelsius(100), 1e-8);
        Assert.Equal(
            "assumed for 5W-50: the middle of its SAE J300 range, 19.1 mm²/s at 100 °C, and a typical 115 mm²/s at 40 °C",
            curve.Origin);

        curve = OilCurve.For(new CarSettings { OilGrade = "5W-50", Viscosity100CCst = 17.2 })!;
        Assert.Equal("the oil's data sheet at 100 °C, 17.2 mm²/s; at 40 °C a typical 115 mm²/s for 5W-50", curve.Origin);
    }

    [Fact]
    public void No_curve_where_nothing_usable_is_said_of_the_oil()
    {
        Assert.Null(OilCurve.For(CarSettings.None));
        Assert.Null(OilCurve.For(new CarSettings { Viscosity100CCst = 17.2 }));
        Assert.Null(OilCurve.For(new CarSettings { Viscosity40CCst = 10, Viscosity100CCst = 17.2 }));
        Assert.Null(OilCurve.For(new CarSettings { OilGrade = "thick" }));
    }
}
