using System.Buffers;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace OilWatch.Results;

/// <summary>Writes rows as CSV (RFC 4180: CRLF, quotes doubled), UTF-8 without BOM.</summary>
internal static class CsvForm
{
    private static readonly SearchValues<char> NeedQuotes = SearchValues.Create(",\"\r\n");

    // A spreadsheet may run a text cell that begins with one of these. Source: check-values 15, ASVS 1.2.10
    // (= + - @ TAB NUL), the OWASP list (CR), and from memory LF and the full-width forms.
    private static readonly SearchValues<char> StartFormula = SearchValues.Create("=+-@\t\r\n\0\uFF1D\uFF0B\uFF0D\uFF20");

    public static void Write<T>(ImmutableArray<Column<T>> columns, ImmutableArray<T> rows, IBufferWriter<byte> target)
    {
        var line = new StringBuilder();
        WriteLine(line.AppendJoin(',', columns.Select(column => column.Name)), target);
        if (rows.IsDefault) return;
        foreach (T row in rows) WriteLine(line.AppendJoin(',', columns.Select(column => Cell(column.Value(row)))), target);
    }

    /// <summary>One cell. Text that a spreadsheet could run is preceded by an apostrophe; numbers stay numbers.</summary>
    internal static string Cell(ResultValue value) => value switch
    {
        ResultValue.Nothing => "",
        ResultValue.Flag flag => flag.Value ? "true" : "false",
        ResultValue.Whole whole => whole.Value.ToString(CultureInfo.InvariantCulture),
        ResultValue.Number number => number.Digits,
        ResultValue.Words words => Quoted(Harmless(words.Text)),
        _ => throw new ArgumentOutOfRangeException(nameof(value)),
    };

    private static string Harmless(string text) =>
        text.Length > 0 && StartFormula.Contains(text[0]) ? "'" + text : text;

    private static string Quoted(string text) =>
        text.AsSpan().ContainsAny(NeedQuotes) ? "\"" + text.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : text;

    private static void WriteLine(StringBuilder line, IBufferWriter<byte> target)
    {
        Encoding.UTF8.GetBytes(line.Append("\r\n").ToString(), target);
        line.Clear();
    }
}
