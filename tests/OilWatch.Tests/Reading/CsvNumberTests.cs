using System.Globalization;
using System.Runtime.Intrinsics;
using System.Text;
using CsCheck;
using OilWatch.Reading.Csv;

namespace OilWatch.Tests.Reading;

public class CsvNumberTests
{
    private static readonly Gen<string> Decimals =
        from sign in Gen.Int[0, 3]
        from whole in Gen.Char['0', '9'].Array[0, 20]
        from point in Gen.Bool
        from fraction in Gen.Char['0', '9'].Array[0, 20]
        from exponent in Gen.Int[-400, 400]
        from withExponent in Gen.Int[0, 4]
        select $"{sign switch { 0 => "-", 1 => "+", _ => "" }}{new string(whole)}{(point ? "." : "")}{(point ? new string(fraction) : "")}"
            + (withExponent == 0 ? string.Create(CultureInfo.InvariantCulture, $"e{exponent}") : "");

    [Fact]
    public void Every_decimal_is_the_double_that_the_platform_makes_of_it_to_the_bit() =>
        Decimals.Sample(Same, seed: "0N0XIzNsQ0O2", iter: 40_000);

    [Fact]
    public void Short_decimals_as_loggers_write_them_too() =>
        Gen.Select(Gen.Int[-99_999_999, 99_999_999], Gen.Int[0, 8]).Sample(
            (digits, decimals) => Same((digits / (decimal)Math.Pow(10, decimals)).ToString(CultureInfo.InvariantCulture)),
            seed: "0N0XIzNsQ0O2", iter: 20_000);

    [Fact]
    public void Doubles_written_in_full_come_back() =>
        Gen.Double.Where(double.IsFinite).Sample(
            value => Same(value.ToString("R", CultureInfo.InvariantCulture)), seed: "0N0XIzNsQ0O2", iter: 20_000);

    [Theory]
    [InlineData("9007199254740992", 9007199254740992.0)]
    [InlineData("9007199254740993", 9007199254740992.0)]      // 2^53 + 1: no longer exact, to even
    [InlineData("9007199254740995", 9007199254740996.0)]
    [InlineData("-0", -0.0)]
    [InlineData("-0.000", -0.0)]
    [InlineData("+1.5", 1.5)]
    [InlineData(".5", 0.5)]
    [InlineData("5.", 5.0)]
    [InlineData("1e5", 1e5)]
    [InlineData("1.000000E+00", 1.0)]
    [InlineData("4.9406564584124654e-324", double.Epsilon)]
    [InlineData("1.7976931348623157e308", double.MaxValue)]
    [InlineData("00000000000000000000000012.5", 12.5)]
    [InlineData("0.00000000000000000000000125", 1.25e-24)]
    [InlineData("123456789012345678901234567890", 123456789012345678901234567890.0)]
    public void Edges(string text, double expected)
    {
        Same(text);
        Assert.Equal(CellKind.Number, CsvNumber.Read(Encoding.ASCII.GetBytes(text), (byte)'.', out double value));
        Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(value));
    }

    [Theory]
    [InlineData("", nameof(CellKind.Empty))]
    [InlineData("  ", nameof(CellKind.Empty))]
    [InlineData("NaN", nameof(CellKind.None))]
    [InlineData("-nan", nameof(CellKind.None))]
    [InlineData("n/a", nameof(CellKind.None))]
    [InlineData("N/A", nameof(CellKind.None))]
    [InlineData("-", nameof(CellKind.None))]
    [InlineData("---", nameof(CellKind.None))]
    [InlineData("------------", nameof(CellKind.None))]
    [InlineData("inf", nameof(CellKind.None))]
    [InlineData("-Infinity", nameof(CellKind.None))]
    [InlineData("1.#QNAN", nameof(CellKind.None))]
    [InlineData("null", nameof(CellKind.None))]
    [InlineData("OK", nameof(CellKind.Text))]
    [InlineData("1,5", nameof(CellKind.Text))]
    [InlineData("1.2.3", nameof(CellKind.Text))]
    [InlineData("--5", nameof(CellKind.Text))]
    [InlineData("1e", nameof(CellKind.Text))]
    [InlineData("e5", nameof(CellKind.Text))]
    [InlineData("0x10", nameof(CellKind.Text))]
    [InlineData("1 000", nameof(CellKind.Text))]
    [InlineData("12kPa", nameof(CellKind.Text))]
    [InlineData(".", nameof(CellKind.Text))]
    [InlineData("+", nameof(CellKind.Text))]
    [InlineData("1e999", nameof(CellKind.Text))]                      // more than a double holds: no reading
    [InlineData("１２", nameof(CellKind.Text))]                        // full-width digits
    public void What_is_no_number_is_told_apart(string text, string kind)
    {
        Assert.Equal(kind, CsvNumber.Read(Encoding.UTF8.GetBytes(text), (byte)'.', out double value).ToString());
        Assert.True(double.IsNaN(value));
        Assert.False(Quick(text, '.', out _));
    }

    [Theory]
    [InlineData("1,5", 1.5)]
    [InlineData("-0,125", -0.125)]
    [InlineData("1,5e3", 1500.0)]
    [InlineData("0,12345678901234567890123", 0.12345678901234567890123)]
    public void A_decimal_comma_is_as_good_as_a_point(string text, double expected)
    {
        Assert.Equal(CellKind.Number, CsvNumber.Read(Encoding.ASCII.GetBytes(text), (byte)',', out double value));
        Assert.Equal(expected, value);
        if (Quick(text, ',', out double quick)) Assert.Equal(expected, quick);
    }

    [Fact]
    public void The_quick_way_never_takes_what_the_careful_way_refuses() =>
        Gen.Char[" -+.,0123456789e:"].Array[0, 18].Select(letters => new string(letters)).Sample(
            text =>
            {
                if (!Quick(text, '.', out double quick)) return;
                Assert.Equal(CellKind.Number, CsvNumber.Read(Encoding.ASCII.GetBytes(text), (byte)'.', out double careful));
                Assert.Equal(BitConverter.DoubleToInt64Bits(careful), BitConverter.DoubleToInt64Bits(quick));
            },
            seed: "0N0XIzNsQ0O2", iter: 40_000);

    /// <summary>Where there are no vectors of the right kind, words do the work; they must come to the same.</summary>
    [Fact]
    public unsafe void Digits_by_words_are_the_digits() =>
        Gen.Select(Gen.Int[0, 99_999_999], Gen.Int[0, 99_999_999], Gen.Int[1, 8], Gen.Int[0, 8]).Sample(
            (front, back, whole, decimals) =>
            {
                string text = front.ToString("00000000", CultureInfo.InvariantCulture)[..whole] + "." + back.ToString("00000000", CultureInfo.InvariantCulture)[..decimals];
                byte[] bytes = [.. Encoding.ASCII.GetBytes(text), .. "99999999"u8];
                fixed (byte* first = bytes)
                {
                    Assert.True(CsvNumber.TryDigitsByWords(first, whole, decimals, CsvNumber.Tables, out ulong digits));
                    Assert.Equal(ulong.Parse(text.Replace(".", "", StringComparison.Ordinal), CultureInfo.InvariantCulture), digits);
                    Assert.False(CsvNumber.TryDigitsByWords(first, 9, decimals, CsvNumber.Tables, out _));
                }
            },
            seed: "0N0XIzNsQ0O2", iter: 20_000);

    [Theory]
    [InlineData("1.2.3")]
    [InlineData(".5")]
    [InlineData("-.5")]
    [InlineData("--5")]
    [InlineData("1:5")]
    [InlineData("1,5")]
    [InlineData("12345678901234567")]
    [InlineData("9007199254740993")]
    public void The_quick_way_leaves_what_is_not_of_its_forms_to_the_careful_way(string text) => Assert.False(Quick(text, '.', out _));

    private static void Same(string text)
    {
        // The platform is asked for digits only, without what its styles allow beside them.
        bool isNumber = double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double expected);
        CellKind kind = CsvNumber.Read(Encoding.ASCII.GetBytes(text), (byte)'.', out double value);
        Assert.True((kind == CellKind.Number) == (isNumber && double.IsFinite(expected)), text);
        if (kind == CellKind.Number) Assert.True(BitConverter.DoubleToInt64Bits(expected) == BitConverter.DoubleToInt64Bits(value), text);
        if (Quick(text, '.', out double quick)) Assert.True(BitConverter.DoubleToInt64Bits(expected) == BitConverter.DoubleToInt64Bits(quick), text);
    }

    private static bool Quick(string text, char decimalSign, out double value)
    {
        // What lies behind the cell must not matter: here it is digits.
        byte[] bytes = [.. Encoding.UTF8.GetBytes(text), .. "99999999999999999999"u8];
        unsafe
        {
            fixed (byte* cell = bytes)
                return CsvNumber.TryQuickDouble(cell, Encoding.UTF8.GetByteCount(text), Vector128.Create((byte)decimalSign), CsvNumber.Tables, out value);
        }
    }
}
