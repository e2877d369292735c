using System.Globalization;
using System.Text;
using OilWatch.Console.Text;

namespace OilWatch.Console.Tests;

/// <summary>What holds for every answer, whatever is in the log.</summary>
internal static class Page80
{
    /// <summary>At most 80 columns, nothing that a terminal obeys but newlines, no space at the end of a line.</summary>
    public static void Check(string answer)
    {
        Assert.EndsWith("\n", answer, StringComparison.Ordinal);
        foreach (string line in answer.Split('\n'))
        {
            Assert.True(PlainText.Width(line) <= 80, line);
            Assert.Equal(line.TrimEnd(), line);
            foreach (Rune rune in line.EnumerateRunes())
            {
                Assert.False(
                    Rune.GetUnicodeCategory(rune) is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate
                        or UnicodeCategory.PrivateUse or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator,
                    $"U+{rune.Value:X4} in {line}");
            }
        }
    }
}
