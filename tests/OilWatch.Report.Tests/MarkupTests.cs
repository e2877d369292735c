using System.Xml.Linq;
using CsCheck;
using OilWatch.Report.Markup;

namespace OilWatch.Report.Tests;

public sealed class MarkupTests
{
    private static readonly string[] Pieces =
        ["<", ">", "&", "\"", "'", "]]>", "<!--", "-->", "&#0;", "</bdi>", "\0", "\u202E", "\uFFFE", "😀", "א", "%", "{"];

    [Fact]
    public void Any_text_is_read_back_as_it_was_written_whatever_it_holds()
    {
        Gen<string> awkward = Gen.OneOf(
            Gen.Char.Array[0, 30].Select(letters => new string(letters)),
            Gen.Int[0, Pieces.Length - 1].Select(place => Pieces[place]).Array[0, 8].Select(string.Concat));
        awkward.Sample(text =>
        {
            XElement element = Written(html =>
            {
                using (html.Open("p", ("title", text))) html.Text(text);
            });
            // An XML reader turns line ends and tabs in attributes into blanks.
            Assert.Equal(PageText.Clean(text).Replace("\n", " ", StringComparison.Ordinal).Replace("\t", " ", StringComparison.Ordinal),
                ((string)element.Attribute("title")!).Replace("\n", " ", StringComparison.Ordinal).Replace("\t", " ", StringComparison.Ordinal));
            Assert.Equal(PageText.Clean(text), element.Value);
            Assert.Empty(element.Elements());
        }, seed: "0000KOlLoOl9", iter: 20_000);
    }

    [Theory]
    [InlineData("plain", "plain")]
    [InlineData("שלום 👩‍🔧", "שלום 👩‍🔧")]
    [InlineData("a\u202Eb\u2066c\u200Fd", "a\uFFFDb\uFFFDc\uFFFDd")]
    [InlineData("a\0b\u001Bc\u007Fd\u0085e", "a\uFFFDb\uFFFDc\uFFFDd\uFFFDe")]
    public void Nothing_is_hidden_and_nothing_turns_the_text_around_it(string text, string shown) => Assert.Equal(shown, PageText.Clean(text));

    [Fact]
    public void What_XML_cannot_hold_is_shown_as_a_replacement() => Assert.Equal("\uFFFD\uFFFD\uFFFD", PageText.Clean("\uD83D\uFFFE\uFFFF"));

    [Theory]
    [InlineData("abcdef", 6, "abcdef")]
    [InlineData("abcdefg", 6, "abcde…")]
    [InlineData("😀😀😀", 3, "😀😀😀")]
    [InlineData("😀😀😀😀", 3, "😀😀…")]
    public void A_long_name_is_cut_between_characters(string text, int most, string shown) => Assert.Equal(shown, PageText.Cut(text, most));

    [Fact]
    public void An_attribute_without_a_value_is_left_out() => Assert.Empty(Written(html => html.Empty("br", ("class", null))).Attributes());

    private static XElement Written(Action<HtmlWriter> write)
    {
        using var text = new StringWriter();
        write(new HtmlWriter(text));
        return Sample.Parsed(text.ToString()).Root!;
    }
}
