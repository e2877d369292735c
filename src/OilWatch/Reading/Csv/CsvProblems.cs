using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace OilWatch.Reading.Csv;

/// <summary>Counts the problems of one pass and keeps the first few in full; what is only counted costs no memory.</summary>
internal sealed class CsvProblems(string file)
{
    /// <summary>How many problems are kept in full.</summary>
    public const int Kept = 20;

    private const int MaxShown = 32;

    private readonly ImmutableArray<ReadingProblem>.Builder _first = ImmutableArray.CreateBuilder<ReadingProblem>();

    /// <summary>How many there were.</summary>
    public long Count { get; private set; }

    /// <summary>The first few.</summary>
    public ImmutableArray<ReadingProblem> First => _first.ToImmutable();

    public void Add(ReadingProblem problem)
    {
        if (IsToBeShown()) _first.Add(problem);
    }

    public void NotANumber(long line, int column, string name, ReadOnlySpan<byte> cell, byte decimalSign)
    {
        if (IsToBeShown())
            Keep(line, column, $"'{name}' holds '{Shown(cell)}', which is no number; a number such as 12{(char)decimalSign}5 is expected, or nothing where there is no reading");
    }

    public void TooManyCells(long line, int cells, int expected)
    {
        if (IsToBeShown())
            Keep(line, 0, Text($"the row has {cells} cells where the table has {expected} columns; those beyond were left out"));
    }

    public void TooFewCells(long line, int cells, int expected)
    {
        if (IsToBeShown())
            Keep(line, 0, Text($"the row has {cells} cells where {expected} are expected; the missing ones have no reading"));
    }

    public void CutOff(long line, int cells, int expected)
    {
        if (IsToBeShown())
            Keep(line, 0, Text($"the file ends in the middle of a row, with {cells} cells of {expected}; the last one may be cut and was left out"));
    }

    public void NoTime(long line, string name)
    {
        if (IsToBeShown())
            Keep(line, 0, $"'{name}' is empty, so that nobody can say when this row was; it was left out");
    }

    public void BadTime(long line, int column, string name, ReadOnlySpan<byte> cell, string expected)
    {
        if (IsToBeShown())
            Keep(line, column, $"'{name}' holds '{Shown(cell)}', which is no time; {expected} is expected, the row was left out");
    }

    public void BadQuotes(long line)
    {
        if (IsToBeShown())
            Keep(line, 0, "a quoted cell is not closed, or goes on behind its closing quote; write a quote inside quotes twice (RFC 4180), the line was left out");
    }

    public void TooLong(long line, ReadOnlySpan<byte> beginning)
    {
        if (IsToBeShown())
            Keep(line, 0, Text($"the line is longer than {RecordPump.MaxRecordBytes / 1024} KiB and was left out; it begins with '{Shown(beginning)}'"));
    }

    public void Late(long line, double behindS)
    {
        if (IsToBeShown())
            Keep(line, 0, Text($"the time goes back to {behindS:0.###} s before rows already read; rows up to {RowWindow.Width} rows out of place are put in order, this one was left out"));
    }

    public void Ahead(long line, long rows)
    {
        Count += rows - 1;
        if (IsToBeShown())
            Keep(line, 0, Text($"the time of {rows} earlier rows was far ahead of all that followed; they were left out"));
    }

    /// <summary>Text from a file, short and fit for a screen: control characters and bytes that are no text are shown as dots.</summary>
    public static string Shown(ReadOnlySpan<byte> text)
    {
        bool cut = text.Length > MaxShown;
        var shown = new StringBuilder(MaxShown + 1);
        foreach (Rune rune in Encoding.UTF8.GetString(cut ? text[..MaxShown] : text).EnumerateRunes())
            shown.Append(IsFit(rune) ? rune.ToString() : "·");
        return cut ? shown.Append('…').ToString() : shown.ToString();
    }

    private static bool IsFit(Rune rune) =>
        rune.Value != 0xFFFD
        && Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate
            or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator);

    private bool IsToBeShown() => ++Count <= Kept;

    private void Keep(long line, int column, string text) => _first.Add(new ReadingProblem(file, line, column, text));

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
