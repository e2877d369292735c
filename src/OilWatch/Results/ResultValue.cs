using System.Collections.Immutable;
using System.Globalization;

namespace OilWatch.Results;

/// <summary>
/// What a result file says, before it is JSON, MessagePack or CSV. Every file is written from such a tree, so the
/// forms cannot differ: a number is rounded once, here, and absent or not finite is <see cref="Absent"/>.
/// </summary>
internal abstract record ResultValue
{
    /// <summary>Absent: null in JSON, nil in MessagePack, an empty cell in CSV.</summary>
    public static readonly ResultValue Absent = new Nothing();

    private ResultValue() { }

    public static ResultValue Of(bool? value) => value is { } known ? new Flag(known) : Absent;

    public static ResultValue Of(long? value) => value is { } known ? new Whole(known) : Absent;

    /// <summary>Text; half a surrogate pair, which no UTF-8 file can hold, becomes U+FFFD.</summary>
    public static ResultValue Of(string? value) => value is null ? Absent : new Words(WithoutHalfPairs(value));

    /// <summary>A number rounded to <paramref name="decimals"/> places, exact halves to even.</summary>
    public static ResultValue Rounded(double? value, int decimals) =>
        value is { } known && double.IsFinite(known) ? Numeral(known, decimals) : Absent;

    /// <summary>A number of no unit known here, to nine significant digits.</summary>
    public static ResultValue Significant(double? value)
    {
        if (value is not { } known || !double.IsFinite(known)) return Absent;
        if (known == 0) return new Number("0", 0);
        int place = (int)Math.Floor(Math.Log10(Math.Abs(known)));
        return place < -9
            ? Parsed(known.ToString("E8", CultureInfo.InvariantCulture))
            : Numeral(known, Math.Clamp(8 - place, 0, 17));
    }

    /// <summary>An instant, s, to a microsecond; whole-number arithmetic, so that epoch times keep their digits.</summary>
    public static ResultValue Instant(LogTime? at) => at is { } known ? Microseconds(known.Nanoseconds) : Absent;

    /// <summary>A length of time, s, to a microsecond.</summary>
    public static ResultValue Between(LogTime from, LogTime to) => Microseconds((Int128)to.Nanoseconds - from.Nanoseconds);

    /// <summary>Seconds, to a microsecond.</summary>
    public static ResultValue Seconds(double? value) => Rounded(value, 6);

    /// <summary>Kilopascals, to 0.01.</summary>
    public static ResultValue Kpa(double? value) => Rounded(value, 2);

    /// <summary>A ratio, to 0.0001.</summary>
    public static ResultValue Ratio(double? value) => Rounded(value, 4);

    /// <summary>Acceleration, g, to 0.0001.</summary>
    public static ResultValue G(double? value) => Rounded(value, 4);

    /// <summary>Engine speed, rpm, to 0.1.</summary>
    public static ResultValue Rpm(double? value) => Rounded(value, 1);

    /// <summary>Temperature, °C, to 0.01.</summary>
    public static ResultValue Celsius(double? value) => Rounded(value, 2);

    /// <summary>Crank revolutions, to 0.01.</summary>
    public static ResultValue Revolutions(double? value) => Rounded(value, 2);

    /// <summary>Pressure deficit, kPa·s, to 0.001.</summary>
    public static ResultValue KpaS(double? value) => Rounded(value, 3);

    public static ResultValue List<T>(ImmutableArray<T> items, Func<T, ResultValue> value) =>
        new Items(items.IsDefault ? [] : [.. items.Select(value)]);

    public static ResultValue Map(params ReadOnlySpan<(string Key, ResultValue Value)> fields) => new Fields([.. fields]);

    private static Number Numeral(double value, int decimals)
    {
        // Beyond this a double has no decimals left, and F would write digits that are not in it.
        if (Math.Abs(value) >= 1e15) return Parsed(value.ToString("R", CultureInfo.InvariantCulture));
        return Parsed(Trimmed(value.ToString(FixedPoint(decimals), CultureInfo.InvariantCulture)));
    }

    private static string FixedPoint(int decimals) => string.Create(CultureInfo.InvariantCulture, $"F{decimals}");

    private static Number Microseconds(Int128 nanoseconds)
    {
        var (rounded, over) = Int128.DivRem(Int128.Abs(nanoseconds), 1000);
        if (over > 500 || (over == 500 && Int128.IsOddInteger(rounded))) rounded++;
        var (whole, part) = Int128.DivRem(rounded, 1_000_000);
        string sign = nanoseconds < 0 ? "-" : "";
        return Parsed(Trimmed(string.Create(CultureInfo.InvariantCulture, $"{sign}{(long)whole}.{(long)part:D6}")));
    }

    private static string Trimmed(string fixedPoint)
    {
        string text = fixedPoint.Contains('.', StringComparison.Ordinal) ? fixedPoint.TrimEnd('0').TrimEnd('.') : fixedPoint;
        return string.Equals(text, "-0", StringComparison.Ordinal) ? "0" : text;
    }

    private static Number Parsed(string text) => new(text, double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture));

    private static string WithoutHalfPairs(string text)
    {
        for (int i = 0; i < text.Length; i++)
        {
            if (!char.IsSurrogate(text[i])) continue;
            if (i + 1 < text.Length && char.IsSurrogatePair(text[i], text[i + 1])) i++;
            else return string.Concat(text.EnumerateRunes().Select(rune => rune.ToString()));   // writes U+FFFD for halves
        }
        return text;
    }

    /// <summary>Absent.</summary>
    internal sealed record Nothing : ResultValue;

    /// <summary>True or false.</summary>
    internal sealed record Flag(bool Value) : ResultValue;

    /// <summary>A count.</summary>
    internal sealed record Whole(long Value) : ResultValue;

    /// <summary>A measurement: the digits that text forms write, and the double nearest to them.</summary>
    internal sealed record Number(string Digits, double Value) : ResultValue;

    /// <summary>Text.</summary>
    internal sealed record Words(string Text) : ResultValue;

    /// <summary>A list.</summary>
    internal sealed record Items(ImmutableArray<ResultValue> Values) : ResultValue;

    /// <summary>Named values in a fixed order.</summary>
    internal sealed record Fields(ImmutableArray<(string Key, ResultValue Value)> Values) : ResultValue;
}
