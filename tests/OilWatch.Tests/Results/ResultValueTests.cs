using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class ResultValueTests
{
    [Theory]
    [InlineData(0, "0")]
    [InlineData(1_500_000_000, "1.5")]
    [InlineData(-1_500_000_000, "-1.5")]
    [InlineData(1_499, "0.000001")]
    [InlineData(1_500, "0.000002")]
    [InlineData(2_500, "0.000002")]
    [InlineData(2_501, "0.000003")]
    [InlineData(499, "0")]
    [InlineData(-499, "0")]
    [InlineData(1_699_999_999_123_456_789, "1699999999.123457")]
    [InlineData(long.MaxValue, "9223372036.854776")]
    [InlineData(long.MinValue, "-9223372036.854776")]
    public void Instants_keep_their_microseconds_even_as_epoch_seconds(long nanoseconds, string digits) =>
        Assert.Equal(digits, Digits(ResultValue.Instant(new LogTime(nanoseconds))));

    [Fact]
    public void The_longest_length_of_time_does_not_overflow() =>
        Assert.Equal("18446744073.709552", Digits(ResultValue.Between(new LogTime(long.MinValue), new LogTime(long.MaxValue))));

    [Theory]
    [InlineData(12.0, 2, "12")]
    [InlineData(12.3456, 2, "12.35")]
    [InlineData(-12.5, 0, "-12")]
    [InlineData(-13.5, 0, "-14")]
    [InlineData(-0.001, 2, "0")]
    [InlineData(1000.0, 2, "1000")]
    [InlineData(1e20, 2, "1E+20")]
    [InlineData(1e-300, 4, "0")]
    public void Numbers_are_rounded_and_lose_zeros_that_say_nothing(double value, int decimals, string digits) =>
        Assert.Equal(digits, Digits(ResultValue.Rounded(value, decimals)));

    [Theory]
    [InlineData(0.0123456789012, "0.0123456789")]
    [InlineData(412.345678912, "412.345679")]
    [InlineData(123456789012.0, "123456789012")]
    [InlineData(-0.0, "0")]
    [InlineData(1.23456789012e-20, "1.23456789E-020")]
    [InlineData(double.Epsilon, "4.94065646E-324")]
    public void Numbers_of_unknown_unit_keep_nine_digits(double value, string digits) =>
        Assert.Equal(digits, Digits(ResultValue.Significant(value)));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void What_is_not_finite_is_absent(double value)
    {
        Assert.Same(ResultValue.Absent, ResultValue.Rounded(value, 2));
        Assert.Same(ResultValue.Absent, ResultValue.Significant(value));
    }

    [Fact]
    public void Half_a_surrogate_pair_becomes_the_replacement_character()
    {
        Assert.Equal("\ufffd", Words("\ud800"));
        Assert.Equal("a\ufffdb", Words("a\udc00b"));
        Assert.Equal("\ud83d\ude00", Words("\ud83d\ude00"));
    }

    private static string Words(string text) => Assert.IsType<ResultValue.Words>(ResultValue.Of(text)).Text;

    private static string Digits(ResultValue value) => Assert.IsType<ResultValue.Number>(value).Digits;
}
