using System.Globalization;

namespace OilWatch.Console.Text;

/// <summary>Numbers as people are shown them. Absent is empty.</summary>
internal sealed class Quantities(Units units)
{
    // 0.45359237 · 9.80665 / 0.0254² kPa. Source: check-values 12 (psi, COMPUTED from exact definitions).
    private const double KpaInPsi = 6.8947572931683613;

    // A wider number would break the tables; none that is real is that large.
    private const double TooWide = 1e7;

    public string PressureUnit => units == Units.Us ? "psi" : "kPa";

    public string TemperatureUnit => units == Units.Us ? "°F" : "°C";

    public string Pressure(double? kpa) => units == Units.Us ? Number(kpa / KpaInPsi, 1) : Number(kpa, 0);

    public string Temperature(double? celsius) => Number(units == Units.Us ? (celsius * 1.8) + 32 : celsius, 0);

    public static string Percent(double? ratio) => ratio is { } known ? Number(100 * known, 0) + " %" : "";

    public static string Number(double? value, int decimals) => value switch
    {
        null => "",
        { } known when !double.IsFinite(known) => "",
        { } known when Math.Abs(known) >= TooWide => known.ToString("0.0E+0", CultureInfo.InvariantCulture),
        { } known => WithoutMinusZero(known.ToString(string.Create(CultureInfo.InvariantCulture, $"F{decimals}"), CultureInfo.InvariantCulture)),
    };

    /// <summary>A whole number with thousands set apart by a comma.</summary>
    public static string Count(double? value) => value is { } known && double.IsFinite(known)
        ? Math.Abs(known) < 1e15 ? known.ToString("N0", CultureInfo.InvariantCulture) : Number(known, 0)
        : "";

    /// <summary>Four significant digits for a value whose unit is not known.</summary>
    public static string Short(double? value) => value switch
    {
        null => "",
        { } known when !double.IsFinite(known) => "",
        { } known when known == 0 || Math.Abs(known) is >= 1e-3 and < 1e7 => Plain(known),
        { } known => known.ToString("0.###E+0", CultureInfo.InvariantCulture),
    };

    /// <summary>A lap's time: <c>m:ss.fff</c>, from an hour on <c>h:mm:ss</c>.</summary>
    public static string Clock(double seconds)
    {
        if (seconds is not (>= 0 and < 360_000)) return "";
        long milliseconds = (long)Math.Round(seconds * 1000);
        (long minutes, long rest) = Math.DivRem(milliseconds, 60_000);
        return minutes < 60
            ? string.Create(CultureInfo.InvariantCulture, $"{minutes}:{rest / 1000:D2}.{rest % 1000:D3}")
            : string.Create(CultureInfo.InvariantCulture, $"{minutes / 60}:{minutes % 60:D2}:{rest / 1000:D2}");
    }

    /// <summary><c>1 lap</c>, <c>2 laps</c>.</summary>
    public static string Plural(long count, string one, string? many = null) =>
        Count(count) + " " + (count == 1 ? one : many ?? one + "s");

    private static string Plain(double value)
    {
        int decimals = value == 0 ? 0 : Math.Clamp(3 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 6);
        string text = Number(value, decimals);
        return text.Contains('.', StringComparison.Ordinal) ? text.TrimEnd('0').TrimEnd('.') : text;
    }

    private static string WithoutMinusZero(string text) =>
        text.StartsWith('-') && text.AsSpan(1).IndexOfAnyExcept('0', '.') < 0 ? text[1..] : text;
}
