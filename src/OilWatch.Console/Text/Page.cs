using System.Text;

namespace OilWatch.Console.Text;

/// <summary>Lines of at most 80 columns. Everything put on it is cleaned here, so that no name in a log can command the terminal.</summary>
/// <param name="colour">True to paint.</param>
/// <param name="shown">Units in which the pressures and temperatures of sentences are shown; null to leave them.</param>
internal sealed class Page(bool colour, Quantities? shown = null)
{
    public const int Columns = 80;

    private readonly StringBuilder _text = new();

    /// <summary>All lines.</summary>
    public override string ToString() => _text.ToString();

    public void Blank() => _text.Append('\n');

    public void Rule() => _text.Append('-', Columns).Append('\n');

    /// <summary>One line, cut where it is too long.</summary>
    public void Line(string text) => _text.Append(PlainText.Fit(PlainText.Clean(text), Columns).TrimEnd()).Append('\n');

    /// <summary>One line that begins with a mark.</summary>
    public void Line(Tone tone, string mark, string text)
    {
        _text.Append(Painted(tone, mark));
        _text.Append(PlainText.Fit(PlainText.Clean(text), Columns - PlainText.Width(mark)).TrimEnd()).Append('\n');
    }

    /// <summary>A paragraph, every line after <paramref name="lead"/>.</summary>
    public void Quoted(string text, string lead)
    {
        foreach (string line in PlainText.Wrap(PlainText.Clean(text), Columns - PlainText.Width(lead))) _text.Append(lead).Append(line).Append('\n');
    }

    /// <summary>A paragraph, its first line after <paramref name="lead"/>, the others as far in.</summary>
    public void Wrapped(string text, string lead = "", Tone tone = Tone.Plain)
    {
        string before = Painted(tone, lead);
        int indent = PlainText.Width(lead);
        foreach (string line in PlainText.Wrap(PlainText.Clean(shown?.Sentence(text) ?? text), Columns - indent))
        {
            _text.Append(before).Append(line).Append('\n');
            before = new string(' ', indent);
        }
    }

    /// <summary>At most <paramref name="most"/> sentences, a paragraph each, and how many more there are.</summary>
    public void Bullets(IReadOnlyCollection<string> sentences, int most, string whereTheRestIs)
    {
        foreach (string sentence in sentences.Take(most)) Wrapped(sentence, "  - ");
        if (sentences.Count > most) Line($"  - and {Quantities.Count(sentences.Count - most)} more{whereTheRestIs}");
    }

    /// <summary>Rows in columns under their headers.</summary>
    public void Table(TextTable table)
    {
        foreach (string line in table.Lines(Columns)) _text.Append(line).Append('\n');
    }

    /// <summary>SGR of ECMA-48: bold with green, cyan, yellow or red.</summary>
    private string Painted(Tone tone, string mark)
    {
        string? code = tone switch
        {
            Tone.Good => "1;32",
            Tone.Advisory => "1;36",
            Tone.Caution => "1;33",
            Tone.Warning => "1;31",
            _ => null,
        };
        return colour && code is not null ? $"\u001b[{code}m{mark}\u001b[0m" : mark;
    }
}
