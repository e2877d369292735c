using System.Collections.Frozen;

namespace OilWatch.Reading.Csv;

/// <summary>Tells a unit from the rest of a column's name.</summary>
internal static class CsvUnits
{
    /// <summary>Units as headers write them, in lower case, without blanks; a degree sign is <c>deg</c>, a superscript two is <c>2</c>.</summary>
    private static readonly FrozenSet<string> Known = FrozenSet.Create(
        StringComparer.Ordinal,
        "kpa", "psi", "psig", "psia", "bar", "barg", "mbar", "hpa", "pa", "mpa", "inhg", "mmhg", "inh2o", "mmh2o", "kpag", "atm",
        "rpm", "1/min", "min-1", "rev/min", "hz", "khz",
        "c", "degc", "celsius", "f", "degf", "fahrenheit", "k", "kelvin",
        "g", "gs", "m/s2", "m/s^2", "m/s/s", "ms2", "mps2", "mm/s", "mms",
        "km/h", "kmh", "kph", "km/hr", "mph", "mi/h", "m/s", "mps", "kn", "kt", "knots",
        "v", "mv", "volt", "volts", "a", "ma", "amp", "amps", "w", "kw", "hp", "nm", "n", "kn/m", "lbft", "lb-ft",
        "%", "pct", "percent", "deg", "rad", "deg/s", "rad/s", "dps",
        "m", "km", "mi", "mile", "miles", "ft", "mm", "cm", "in", "mi.", "l", "l/h", "l/min", "kg", "kg/h", "g/s", "lambda", "afr", "ratio",
        "s", "sec", "secs", "second", "seconds", "ms", "msec", "millisecond", "milliseconds", "us", "usec", "microsecond", "microseconds",
        "ns", "min", "minutes", "h", "hr", "hours", "cst", "bool", "raw", "count", "counts", "bit", "#", "-", "1", "none", "unitless",
        "h:m:s", "hh:mm:ss", "hh:mm:ss.fff", "m:s", "mm:ss", "mm:ss.fff", "yyyy-mm-dd");

    /// <summary>Units that are taken off a name behind an underscore. Fewer: <c>bank_a</c> and <c>cell_1</c> are names.</summary>
    private static readonly FrozenSet<string> Suffixes = FrozenSet.Create(
        StringComparer.Ordinal,
        "kpa", "psi", "psig", "psia", "bar", "barg", "mbar", "hpa", "pa", "mpa", "inhg", "mmhg", "kpag", "rpm", "hz", "c", "degc", "f", "degf", "k",
        "g", "ms2", "mps2", "mms", "kmh", "kph", "mph", "mps", "v", "mv", "volts", "pct", "percent", "deg", "dps", "m", "km", "mi", "ft", "mm",
        "s", "sec", "ms", "msec", "us", "usec", "ns", "nm", "kw", "hp", "lambda", "afr");

    /// <summary>True when the text is a unit known here, bare or in brackets.</summary>
    public static bool IsUnit(string text) => Known.Contains(Plain(Unwrapped(text)));

    /// <summary>The unit in lower case without blanks, as it is looked up.</summary>
    public static string Plain(string unit) =>
        unit.Replace(" ", "", StringComparison.Ordinal).Replace("°", "deg", StringComparison.Ordinal).Replace("º", "deg", StringComparison.Ordinal)
            .Replace("²", "2", StringComparison.Ordinal).Replace("µ", "u", StringComparison.Ordinal).Replace("μ", "u", StringComparison.Ordinal)
            .ToLowerInvariant();

    /// <summary>Takes the brackets off a unit.</summary>
    public static string Unwrapped(string text)
    {
        text = text.Trim();
        return text is ['[', .., ']'] or ['(', .., ')'] ? text[1..^1].Trim() : text;
    }

    /// <summary>Splits <c>Name [unit]</c>, <c>Name (unit)</c> or <c>Name_unit</c>.</summary>
    /// <param name="heading">The column's heading, trimmed.</param>
    /// <param name="unit">The unit, or null where the heading has none.</param>
    /// <returns>The name without the unit; the whole heading where taking the unit off would leave nothing.</returns>
    public static string Split(string heading, out string? unit)
    {
        unit = null;
        foreach ((char open, char close) in new[] { ('[', ']'), ('(', ')') })
        {
            if (heading.Length == 0 || heading[^1] != close) continue;
            int at = heading.LastIndexOf(open);
            if (at <= 0) continue;
            string name = heading[..at].TrimEnd(), inside = heading[(at + 1)..^1].Trim();
            // Round brackets also hold remarks, such as (front): only a unit is a unit.
            if (name.Length == 0 || (open == '(' && !LooksLikeUnit(inside))) continue;
            unit = inside.Length == 0 ? null : inside;
            return name;
        }
        int underscore = heading.LastIndexOf('_');
        if (underscore > 0 && Suffixes.Contains(heading[(underscore + 1)..].ToLowerInvariant()))
        {
            unit = heading[(underscore + 1)..];
            return heading[..underscore];
        }
        return heading;
    }

    private static bool LooksLikeUnit(string text) =>
        Known.Contains(Plain(text)) || (text.Length <= 12 && text.AsSpan().IndexOfAny("/°%²µ") >= 0);

    /// <summary>Nanoseconds of a unit of time, or 0 when it is none.</summary>
    public static long TimeUnitNs(string? unit) => unit is null ? 0 : Plain(Unwrapped(unit)) switch
    {
        "s" or "sec" or "secs" or "second" or "seconds" => LogTime.NanosecondsPerSecond,
        "ms" or "msec" or "msecs" or "millis" or "millisecond" or "milliseconds" => 1_000_000,
        "us" or "usec" or "usecs" or "micros" or "microsecond" or "microseconds" => 1_000,
        "ns" or "nsec" or "nanosecond" or "nanoseconds" => 1,
        "min" or "mins" or "minute" or "minutes" => 60 * LogTime.NanosecondsPerSecond,
        "h" or "hr" or "hrs" or "hour" or "hours" => 3600 * LogTime.NanosecondsPerSecond,
        _ => 0,
    };
}
