using System.Globalization;
using System.Text;
using CsCheck;
using OilWatch.Reading.Csv;

namespace OilWatch.Tests.Reading;

public class CsvTimeTests
{
    private const long S = 1_000_000_000;

    [Theory]
    [InlineData("0", S, 0)]
    [InlineData("12.345678901", S, 12_345_678_901)]
    [InlineData("12.3456789014", S, 12_345_678_901)]
    [InlineData("12.3456789015", S, 12_345_678_902)]             // half away from zero
    [InlineData("-12.3456789015", S, -12_345_678_902)]
    [InlineData("1436509052.249713", S, 1_436_509_052_249_713_000)]
    [InlineData("1436509052,249713", S, 1_436_509_052_249_713_000)]
    [InlineData("1436509052249.713", 1_000_000, 1_436_509_052_249_713_000)]
    [InlineData("1.5e-3", S, 1_500_000)]
    [InlineData("1e3", S, 1_000 * S)]
    [InlineData("50", 1_000_000, 50_000_000)]
    [InlineData("0.5", 60 * S, 30 * S)]
    [InlineData("0.0000000001", S, 0)]
    [InlineData("1e-300", S, 0)]
    [InlineData("9223372036.854775807", S, long.MaxValue)]       // the last instant there is
    public void A_number_is_whole_nanoseconds_rounded_once(string text, long unitNs, long expected)
    {
        Assert.True(CsvTime.TryNumber(Encoding.ASCII.GetBytes(text), unitNs, out long ns));
        Assert.Equal(expected, ns);
    }

    [Theory]
    [InlineData("9223372036.854775808")]                         // one nanosecond more
    [InlineData("1e30")]
    [InlineData("1e100000")]
    [InlineData("")]
    [InlineData("NaN")]
    [InlineData("1:2")]
    public void What_is_no_time_is_refused(string text) =>
        Assert.False(CsvTime.TryNumber(Encoding.ASCII.GetBytes(text), S, out _));

    [Fact]
    public void Seconds_with_any_decimals_agree_with_exact_arithmetic() =>
        Gen.Select(Gen.Long[-9_000_000_000_000_000, 9_000_000_000_000_000], Gen.Int[0, 12]).Sample(
            (digits, decimals) =>
            {
                decimal seconds = digits / (decimal)Math.Pow(10, decimals);
                decimal ns = Math.Round(seconds * S, MidpointRounding.AwayFromZero);
                bool fits = Math.Abs(ns) <= long.MaxValue;
                Assert.Equal(fits, CsvTime.TryNumber(Encoding.ASCII.GetBytes(seconds.ToString(CultureInfo.InvariantCulture)), S, out long value));
                if (fits) Assert.Equal((long)ns, value);
            },
            seed: "0N0XIzNsQ0O2", iter: 20_000);

    [Theory]
    [InlineData("10:15:30.125", 36_930.125)]
    [InlineData("0:00:00", 0)]
    [InlineData("1:02.5", 62.5)]
    [InlineData("75:02.5", 4502.5)]
    [InlineData("25:00:01", 90_001)]
    [InlineData("10:15:30,125", 36_930.125)]
    [InlineData(" 10:15:30 ", 36_930)]
    [InlineData("12:00:01 AM", 1)]
    [InlineData("12:00:01 PM", 43_201)]
    [InlineData("1:00:00pm", 46_800)]
    [InlineData("-0:00:01.5", -1.5)]
    public void A_clock_is_read(string text, double seconds)
    {
        Assert.True(CsvTime.TryClock(Encoding.ASCII.GetBytes(text), false, out long ns));
        Assert.Equal((long)(seconds * 1e9), ns);
    }

    [Theory]
    [InlineData("10:61:00")]
    [InlineData("10:15:61")]
    [InlineData("10:15:30.")]
    [InlineData("10:15:30:00")]
    [InlineData("13:00:00 PM")]
    [InlineData("10")]
    [InlineData("a:b:c")]
    [InlineData(":")]
    public void What_is_no_clock_is_refused(string text) => Assert.False(CsvTime.TryClock(Encoding.ASCII.GetBytes(text), false, out _));

    [Theory]
    [InlineData("2026-04-12T10:15:30.123456789Z", "2026-04-12T10:15:30", 123_456_789)]
    [InlineData("2026-04-12 10:15:30", "2026-04-12T10:15:30", 0)]
    [InlineData("2026-04-12T10:15:30+02:00", "2026-04-12T08:15:30", 0)]
    [InlineData("2026-04-12T10:15:30-0530", "2026-04-12T15:45:30", 0)]
    [InlineData("2026-04-12T10:15:30+02", "2026-04-12T08:15:30", 0)]
    [InlineData("20260412T101530.5Z", "2026-04-12T10:15:30", 500_000_000)]
    [InlineData("2026/04/12 10:15", "2026-04-12T10:15:00", 0)]
    [InlineData("12.04.2026 10:15:30,25", "2026-04-12T10:15:30", 250_000_000)]
    [InlineData("12/04/2026 10:15:30 PM", "2026-04-12T22:15:30", 0)]
    [InlineData("2024-02-29T00:00:00Z", "2024-02-29T00:00:00", 0)]
    public void A_date_and_clock_is_read(string text, string expected, long fraction)
    {
        Assert.True(CsvTime.TryDateAndClock(Encoding.ASCII.GetBytes(text), DateOrder.DayFirst, out long ns));
        var instant = DateTime.SpecifyKind(DateTime.Parse(expected, CultureInfo.InvariantCulture), DateTimeKind.Utc);
        Assert.Equal(((instant - DateTime.UnixEpoch).Ticks * 100) + fraction, ns);
    }

    [Theory]
    [InlineData("2025-02-29T00:00:00Z")]
    [InlineData("2026-13-01T00:00:00Z")]
    [InlineData("9999-01-01T00:00:00Z")]                         // beyond what nanoseconds reach
    [InlineData("2026-04-12")]
    [InlineData("2026-04-12T")]
    [InlineData("2026-04-12T10:15:30+99:00")]
    [InlineData("10:15:30")]
    public void What_is_no_date_and_clock_is_refused(string text) =>
        Assert.False(CsvTime.TryDateAndClock(Encoding.ASCII.GetBytes(text), DateOrder.DayFirst, out _));

    [Fact]
    public void Nothing_makes_the_time_parsers_throw() =>
        Gen.Char["0123456789:.,-+/TZ apmAPM"].Array[0, 40].Select(letters => new string(letters)).Sample(
            text =>
            {
                byte[] cell = Encoding.ASCII.GetBytes(text);
                bool colon = text.Contains(':', StringComparison.Ordinal);
                if (CsvTime.TryNumber(cell, S, out _) || CsvTime.TryDate(cell, DateOrder.DayFirst, out _)) Assert.False(colon);
                if (CsvTime.TryClock(cell, true, out _)) Assert.True(colon);
                if (CsvTime.TryDateAndClock(cell, DateOrder.MonthFirst, out _)) Assert.False(CsvTime.TryClock(cell, true, out _));
            },
            seed: "0N0XIzNsQ0O2", iter: 20_000);
}
