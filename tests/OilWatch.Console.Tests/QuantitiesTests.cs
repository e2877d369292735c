using OilWatch.Console.Text;

namespace OilWatch.Console.Tests;

public sealed class QuantitiesTests
{
    private static readonly Quantities Si = new(Units.Si);
    private static readonly Quantities Us = new(Units.Us);

    [Theory]
    // check-values 12 (COMPUTED from exact definitions), to the digits shown.
    [InlineData(68.94757293, "69", "10")]
    [InlineData(413.68543759, "414", "60")]
    [InlineData(689.47572932, "689", "100")]
    // A tenth of that: below 10 psi a tenth shows.
    [InlineData(6.894757293, "7", "1.0")]
    public void Pressure_is_shown_in_either_unit(double kpa, string si, string us) => Assert.Equal((si, us), (Si.Pressure(kpa), Us.Pressure(kpa)));

    [Theory]
    // check-values 12: -40 °F is -40 °C, 212 °F 100 °C, 280 °F 137.7777778 °C.
    [InlineData(-40, "-40", "-40")]
    [InlineData(100, "100", "212")]
    [InlineData(137.7777778, "138", "280")]
    public void Temperature_is_shown_in_either_unit(double celsius, string si, string us) =>
        Assert.Equal((si, us), (Si.Temperature(celsius), Us.Temperature(celsius)));

    [Fact]
    public void What_is_absent_is_empty()
    {
        Assert.Equal("", Us.Pressure(null));
        Assert.Equal("", Us.Temperature(null));
        Assert.Equal("", Quantities.Percent(null));
        Assert.Equal("", Quantities.Number(double.NaN, 1));
        Assert.Equal("", Quantities.Short(double.PositiveInfinity));
        Assert.Equal("", Quantities.Count(null));
    }

    [Theory]
    [InlineData(91.2346, "1:31.235")]
    [InlineData(59.9996, "1:00.000")]
    [InlineData(0, "0:00.000")]
    [InlineData(3599.9994, "59:59.999")]
    [InlineData(3661, "1:01:01")]
    [InlineData(-1, "")]
    [InlineData(double.NaN, "")]
    [InlineData(1e300, "")]
    public void Lap_times_are_minutes_and_seconds(double seconds, string clock) => Assert.Equal(clock, Quantities.Clock(seconds));

    [Theory]
    [InlineData(0, "0")]
    [InlineData(20.0004, "20")]
    [InlineData(0.123456, "0.1235")]
    [InlineData(12345.678, "12346")]
    [InlineData(-0.00001, "-1E-5")]
    [InlineData(1.5e9, "1.5E+9")]
    public void Values_of_unknown_unit_keep_four_digits(double value, string text) => Assert.Equal(text, Quantities.Short(value));

    [Theory]
    [InlineData(-0.04, 1, "0.0")]
    [InlineData(1e9, 1, "1.0E+9")]
    public void No_number_is_minus_zero_or_wider_than_its_column(double value, int decimals, string text) =>
        Assert.Equal(text, Quantities.Number(value, decimals));
}
