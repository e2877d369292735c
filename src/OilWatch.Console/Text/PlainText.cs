using System.Globalization;
using System.Text;

namespace OilWatch.Console.Text;

/// <summary>Text of unknown origin made fit for a terminal, and measured in its columns.</summary>
internal static class PlainText
{
    /// <summary>The text without anything that a terminal obeys or that hides: control and format characters, lone surrogates and
    /// unassigned ones become U+FFFD, and a letter keeps at most one combining mark.</summary>
    public static string Clean(string text)
    {
        var clean = new StringBuilder(text.Length);
        bool marked = true;                             // a mark with no letter before it would sit on what the program wrote
        foreach (Rune rune in text.EnumerateRunes())
        {
            switch (Rune.GetUnicodeCategory(rune))
            {
                case UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark:
                    if (!marked) clean.Append(rune);
                    marked = true;
                    continue;
                case UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator
                    or UnicodeCategory.ParagraphSeparator or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned:
                    clean.Append(Rune.ReplacementChar);
                    break;
                case UnicodeCategory.SpaceSeparator:
                    clean.Append(' ');
                    break;
                default:
                    clean.Append(rune);
                    break;
            }
            marked = false;
        }
        return clean.ToString();
    }

    /// <summary>Columns that clean text takes.</summary>
    public static int Width(string text)
    {
        int columns = 0;
        foreach (Rune rune in text.EnumerateRunes()) columns += Width(rune);
        return columns;
    }

    /// <summary>Clean text cut to at most <paramref name="columns"/>, with … where something is missing.</summary>
    public static string Fit(string text, int columns)
    {
        if (Width(text) <= columns) return text;
        var kept = new StringBuilder();
        int used = 1;                                   // the …
        foreach (Rune rune in text.EnumerateRunes())
        {
            used += Width(rune);
            if (used > columns) break;
            kept.Append(rune);
        }
        return columns > 0 ? kept.Append('…').ToString() : "";
    }

    /// <summary>Clean text filled with spaces, or cut, to exactly <paramref name="columns"/>.</summary>
    public static string Pad(string text, int columns, bool right = false)
    {
        string fitting = Fit(text, columns);
        string spaces = new(' ', columns - Width(fitting));
        return right ? spaces + fitting : fitting + spaces;
    }

    /// <summary>Clean text broken between words into lines of at most <paramref name="columns"/>; a longer word is cut apart.</summary>
    public static IEnumerable<string> Wrap(string text, int columns)
    {
        var line = new StringBuilder();
        int used = 0;
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries).SelectMany(word => Pieces(word, columns)))
        {
            int width = Width(word);
            if (used > 0 && used + 1 + width > columns)
            {
                yield return line.ToString();
                line.Clear();
                used = 0;
            }
            if (used > 0) line.Append(' ');
            line.Append(word);
            used += width + (used > 0 ? 1 : 0);
        }
        if (used > 0) yield return line.ToString();
    }

    private static IEnumerable<string> Pieces(string word, int columns)
    {
        var piece = new StringBuilder();
        int used = 0;
        foreach (Rune rune in word.EnumerateRunes())
        {
            int width = Width(rune);
            if (used > 0 && used + width > columns)
            {
                yield return piece.ToString();
                piece.Clear();
                used = 0;
            }
            piece.Append(rune);
            used += width;
        }
        yield return piece.ToString();
    }

    /// <summary>0 for marks, 2 for the wide blocks of Unicode Standard Annex 11 (East Asian and pictographs), otherwise 1.</summary>
    private static int Width(Rune rune) => rune.Value switch
    {
        < 0x300 => 1,
        >= 0x1100 and <= 0x115F or >= 0x231A and <= 0x231B or >= 0x2329 and <= 0x232A or >= 0x23E9 and <= 0x23F3
            or >= 0x25FD and <= 0x25FE or >= 0x2614 and <= 0x2615 or >= 0x2648 and <= 0x2653 or 0x267F or 0x2693 or 0x26A1
            or >= 0x26AA and <= 0x26AB or >= 0x26BD and <= 0x26BE or >= 0x26C4 and <= 0x26C5 or 0x26CE or 0x26D4 or 0x26EA
            or >= 0x26F2 and <= 0x26FD or 0x2705 or >= 0x270A and <= 0x270B or 0x2728 or 0x274C or 0x274E
            or >= 0x2753 and <= 0x2757 or >= 0x2795 and <= 0x2797 or 0x27B0 or 0x27BF or >= 0x2B1B and <= 0x2B1C or 0x2B50 or 0x2B55
            or >= 0x2E80 and <= 0x303E or >= 0x3041 and <= 0xA4CF or >= 0xA960 and <= 0xA97C or >= 0xAC00 and <= 0xD7A3
            or >= 0xF900 and <= 0xFAFF or >= 0xFE10 and <= 0xFE19 or >= 0xFE30 and <= 0xFE6F or >= 0xFF00 and <= 0xFF60
            or >= 0xFFE0 and <= 0xFFE6 or >= 0x16FE0 and <= 0x18CFF or >= 0x1B000 and <= 0x1B2FF or >= 0x1F000 and <= 0x1FAFF
            or >= 0x20000 and <= 0x3FFFD => 2,
        _ => Rune.GetUnicodeCategory(rune) is UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark ? 0 : 1,
    };
}
