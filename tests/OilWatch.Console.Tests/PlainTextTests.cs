using OilWatch.Console.Text;

namespace OilWatch.Console.Tests;

public sealed class PlainTextTests
{
    [Theory]
    [InlineData("plain °C µ²", "plain °C µ²")]
    [InlineData("\u001b[31mred\u001b[0m", "\ufffd[31mred\ufffd[0m")]
    [InlineData("a\r\nb\tc\0d", "a\ufffd\ufffdb\ufffdc\ufffdd")]
    [InlineData("\u009b31m", "\ufffd31m")]                     // the one-byte form of ESC [
    [InlineData("a\u202ebc\u2066d", "a\ufffdbc\ufffdd")]       // text turned round
    [InlineData("a\u200bb\ufeffc", "a\ufffdb\ufffdc")]         // hidden characters
    [InlineData("a\u2028b\u2029c", "a\ufffdb\ufffdc")]
    [InlineData("\ue000", "\ufffd")]
    [InlineData("e\u0301\u0301\u0301\u0301x", "e\u0301x")]     // a pile of marks
    [InlineData("\u0301x", "x")]                               // a mark on what the program wrote
    [InlineData("a\u00a0b\u3000c", "a b c")]
    [InlineData("日本 🏁", "日本 🏁")]
    [InlineData("🏁\u200d🏎", "🏁\ufffd🏎")]
    public void Nothing_that_a_terminal_obeys_or_that_hides_gets_through(string text, string clean) => Assert.Equal(clean, PlainText.Clean(text));

    [Fact]
    public void Half_a_pair_is_replaced() => Assert.Equal("a\ufffdb", PlainText.Clean("a\ud83db"));

    [Theory]
    [InlineData("", 0)]
    [InlineData("abc", 3)]
    [InlineData("°C…", 3)]
    [InlineData("日本", 4)]
    [InlineData("🏁", 2)]
    [InlineData("e\u0301", 1)]
    [InlineData("ｱ", 1)]      // half-width katakana
    [InlineData("Ａ", 2)]     // full-width letter
    public void Width_is_counted_in_columns(string text, int columns) => Assert.Equal(columns, PlainText.Width(text));

    [Theory]
    [InlineData("abcdef", 6, "abcdef")]
    [InlineData("abcdefg", 6, "abcde…")]
    [InlineData("日本語", 5, "日本…")]
    [InlineData("日本語", 4, "日…")]
    [InlineData("abc", 1, "…")]
    [InlineData("abc", 0, "")]
    public void What_is_too_long_is_cut_and_marked(string text, int columns, string fitting) => Assert.Equal(fitting, PlainText.Fit(text, columns));

    [Theory]
    [InlineData("ab", 4, false, "ab  ")]
    [InlineData("ab", 4, true, "  ab")]
    [InlineData("日本語", 4, false, "日… ")]
    public void Cells_are_filled_to_their_columns(string text, int columns, bool right, string padded) =>
        Assert.Equal(padded, PlainText.Pad(text, columns, right));

    [Theory]
    [InlineData("one two three", 7, "one two|three")]
    [InlineData("one two three", 100, "one two three")]
    [InlineData("abcdefghij k", 4, "abcd|efgh|ij k")]
    [InlineData("  spaced   out  ", 20, "spaced out")]
    [InlineData("", 20, "")]
    [InlineData("日本語日本語", 5, "日本|語日|本語")]
    public void Paragraphs_are_broken_between_words_and_long_words_apart(string text, int columns, string lines) =>
        Assert.Equal(lines, string.Join('|', PlainText.Wrap(text, columns)));
}
