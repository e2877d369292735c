using System.Text;

namespace OilWatch.Report.Markup;

/// <summary>Text of unknown origin made fit for a page: nothing hidden, nothing that turns what stands around it.</summary>
public static class PageText
{
    /// <summary>
    /// The text with U+FFFD for whatever XML 1.0 cannot hold (section 2.2, Char: most controls, lone surrogates) and for the characters that force a writing direction
    /// (UAX 9, section 2). Letters that are written from right to left, and joined pictographs, stay as they are.
    /// </summary>
    public static string Clean(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (!text.AsSpan().ContainsAnyExceptInRange(' ', '~')) return text;                  // most text, and all paths of the pictures
        var clean = new StringBuilder(text.Length);
        foreach (Rune rune in text.EnumerateRunes()) clean.Append(IsShown(rune.Value) ? rune : Rune.ReplacementChar);
        return clean.ToString();
    }

    /// <summary>The text cut to at most <paramref name="most"/> characters, with … where something is missing.</summary>
    public static string Cut(string text, int most)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (text.Length <= most) return text;                     // never more runes than units
        Rune[] kept = [.. text.EnumerateRunes().Take(most + 1)];
        return kept.Length <= most ? text : string.Concat(kept.Take(most - 1).Select(rune => rune.ToString())) + "…";
    }

    private static bool IsShown(int value) => value switch
    {
        '\t' or '\n' => true,
        < 0x20 or (>= 0x7F and < 0xA0) or 0xFFFE or 0xFFFF => false,
        0x200E or 0x200F or 0x061C or (>= 0x202A and <= 0x202E) or (>= 0x2066 and <= 0x2069) => false,
        _ => (value & 0xFFFE) != 0xFFFE,
    };
}
