using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Output;

/// <summary>How a CSV log is written.</summary>
public sealed record CsvDialect
{
    /// <summary>Comma, point, seconds, <c>Name [unit]</c>, no preamble.</summary>
    public static CsvDialect Plain { get; } = new();

    /// <summary>Between fields: comma, semicolon or tab.</summary>
    public char Separator { get; init; } = ',';

    /// <summary>Decimal mark: point, or comma beside a semicolon or tab.</summary>
    public char DecimalMark { get; init; } = '.';

    /// <summary>How units are written: <c>brackets</c>, <c>parentheses</c>, <c>underscore</c> or <c>row</c>.</summary>
    public string Units { get; init; } = "brackets";

    /// <summary>How time is written: <c>seconds</c>, <c>milliseconds</c>, <c>iso</c> or <c>clock</c> (h:m:s.fff).</summary>
    public string Time { get; init; } = "seconds";

    /// <summary>True to write lines of description before the header.</summary>
    public bool Preamble { get; init; }

    /// <summary>One of the dialects that loggers use.</summary>
    public static CsvDialect Draw(SeededRandom random)
    {
        char separator = random.Pick([',', ',', ';', '\t']);
        return new CsvDialect
        {
            Separator = separator,
            DecimalMark = separator != ',' && random.Chance(0.7) ? ',' : '.',
            Units = random.Pick(["brackets", "parentheses", "underscore", "row"]),
            Time = random.Pick(["seconds", "seconds", "milliseconds", "iso", "clock"]),
            Preamble = random.Chance(0.5),
        };
    }
}
