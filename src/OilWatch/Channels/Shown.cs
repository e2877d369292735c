using System.Globalization;
using System.Text;

namespace OilWatch.Channels;

/// <summary>Text out of a file, made fit to be shown: short, and without characters that a terminal would obey.</summary>
internal static class Shown
{
    private const int Longest = 60;

    /// <summary>The text in single quotes, cut to 60 characters, control and formatting characters written as <c>\u001B</c>.</summary>
    public static string Quoted(string text) => $"'{Plain(text)}'";

    /// <summary>The same without quotes.</summary>
    public static string Plain(string text)
    {
        var shown = new StringBuilder(Math.Min(text.Length, Longest) + 1);
        int count = 0;
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (count++ == Longest)
            {
                shown.Append('…');
                break;
            }
            UnicodeCategory category = Rune.GetUnicodeCategory(rune);
            if (category is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator)
                shown.Append(CultureInfo.InvariantCulture, $"\\u{rune.Value:X4}");
            else
                shown.Append(rune.ToString());
        }
        return shown.ToString();
    }
}
