using System.Globalization;
using System.Text.RegularExpressions;

namespace OilWatch.Report;

/// <summary>Numbers as people are shown them, the same on the console and in the report. Absent is empty.</summary>
/// <param name="units">Units of pressures and temperatures.</param>
public sealed partial class Quantities(ReportUnits units)
{
    // 0.45359237 · 9.80665 / 0.0254² kPa. Source: check-values 12 (psi, COMPUTED from exact definitions).
    private const double KpaInPsi = 6.8947572931683613;

    private const double WholePsiFrom = 9.95;

    private const double KmInMile = 1.609344;                // exact: international yard and pound, 1959

    // A wider number would break the tables; none that is real is that large.
    private const double TooWide = 1e7;

    /// <summary><c>kPa</c> or <c>psi</c>.</summary>
    public string PressureUnit => units == ReportUnits.Us ? "psi" : "kPa";

    /// <summary><c>°C</c> or <c>°F</c>.</summary>
    public string TemperatureUnit => units == ReportUnits.Us ? "°F" : "°C";

    /// <summary>A pressure, kPa, in the unit shown.</summary>
    public double InPressureUnit(double kpa) => units == ReportUnits.Us ? kpa / KpaInPsi : kpa;

    /// <summary>A temperature, °C, in the unit shown.</summary>
    public double InTemperatureUnit(double celsius) => units == ReportUnits.Us ? (celsius * 1.8) + 32 : celsius;

    /// <summary><c>km/h</c> or <c>mph</c>.</summary>
    public string SpeedUnit => units == ReportUnits.Us ? "mph" : "km/h";

    /// <summary>A pressure, kPa, without its unit: whole kPa or psi, tenths of a psi below 10.</summary>
    /// <remarks>A gauge is read in whole psi, and a sentence that was rounded to kPa before then shows the same figure as a table.</remarks>
    public string Pressure(double? kpa)
    {
        if (units != ReportUnits.Us) return Number(kpa, 0);
        double? psi = kpa / KpaInPsi;
        return Number(psi, Math.Abs(psi ?? 0) < WholePsiFrom ? 1 : 0);
    }

    /// <summary>A pressure of a crankcase, kPa, without its unit: tenths of a kPa or hundredths of a psi.</summary>
    public string SmallPressure(double? kpa) => units == ReportUnits.Us ? Number(kpa / KpaInPsi, 2) : Number(kpa, 1);

    /// <summary>A road speed, km/h, without its unit.</summary>
    public string Speed(double? kmh) => Number(units == ReportUnits.Us ? kmh / KmInMile : kmh, 0);

    /// <summary>A temperature, °C, without its unit, in whole degrees.</summary>
    public string Temperature(double? celsius) => celsius is { } known ? Number(InTemperatureUnit(known), 0) : "";

    /// <summary>A sentence of the analysis, whose pressures and temperatures are in kPa and °C, in the units shown.</summary>
    public string Sentence(string sentence)
    {
        ArgumentNullException.ThrowIfNull(sentence);
        return units == ReportUnits.Us ? Measured().Replace(sentence, InShownUnits) : sentence;
    }

    /// <summary>A ratio as whole percent, with the sign.</summary>
    public static string Percent(double? ratio) => ratio is { } known ? Number(100 * known, 0) + " %" : "";

    /// <summary>A number with fixed decimals; ten millions and more with an exponent, for they would break a table.</summary>
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

#pragma warning disable CA1720 // Short is what it is, not the type.
    /// <summary>Four significant digits for a value whose unit is not known.</summary>
    public static string Short(double? value) => value switch
    {
        null => "",
        { } known when !double.IsFinite(known) => "",
        { } known when known == 0 || Math.Abs(known) is >= 1e-3 and < 1e7 => Plain(known),
        { } known => known.ToString("0.###E+0", CultureInfo.InvariantCulture),
    };
#pragma warning restore CA1720

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

    private string InShownUnits(Match measured)
    {
        bool pressure = string.Equals(measured.Groups["unit"].Value, "kPa", StringComparison.Ordinal);
        string first = measured.Groups["first"] is { Success: true } group ? Shown(group.Value) + measured.Groups["between"].Value : "";
        string then = measured.Groups["then"] is { Success: true } healthy ? measured.Groups["healthy"].Value + Shown(healthy.Value) : "";
        return $"{first}{Shown(measured.Groups["value"].Value)} {(pressure ? PressureUnit : TemperatureUnit)}{then}";

        string Shown(string number)
        {
            double value = double.Parse(number, CultureInfo.InvariantCulture);
            return pressure ? Pressure(value) : Temperature(value);
        }
    }

#pragma warning disable MA0009 // Linear: a run of digits is entered at its start only, and every step ends with a character that no other takes.
    // A number and its unit, or two numbers that share one: "95 kPa", "96 of 410 kPa", "60 to 90 °C", "95 kPa, healthy is 338"; not "kPa·s".
    [GeneratedRegex(@"(?<![\w.])(?:(?<first>-?[0-9]+(?:\.[0-9]+)?)(?<between> (?:of|to|and|or) ))?(?<value>-?[0-9]+(?:\.[0-9]+)?) (?<unit>kPa|°C)(?![\w·/])(?:(?<healthy>, healthy is )(?<then>[0-9]+(?:\.[0-9]+)?))?", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Measured();
#pragma warning restore MA0009

    private static string Plain(double value)
    {
        int decimals = value == 0 ? 0 : Math.Clamp(3 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 6);
        string text = Number(value, decimals);
        return text.Contains('.', StringComparison.Ordinal) ? text.TrimEnd('0').TrimEnd('.') : text;
    }

    private static string WithoutMinusZero(string text) =>
        text.StartsWith('-') && text.AsSpan(1).IndexOfAnyExcept('0', '.') < 0 ? text[1..] : text;
}
