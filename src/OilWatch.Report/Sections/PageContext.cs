using OilWatch.Report.Markup;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>What every section of the page is written from.</summary>
/// <param name="Result">The session.</param>
/// <param name="Options">How the report is written.</param>
/// <param name="Shown">Numbers as people are shown them.</param>
/// <param name="Html">Where to.</param>
internal sealed record PageContext(SessionResult Result, ReportOptions Options, Quantities Shown, HtmlWriter Html)
{
    private const int FewRows = 20;

    /// <summary>A pressure with its unit, or <c>not known</c>.</summary>
    public string Pressure(double? kpa) => kpa is null ? "not known" : $"{Shown.Pressure(kpa)} {Shown.PressureUnit}";

    /// <summary><c>95 of 338 kPa (28 % of healthy)</c>, or empty.</summary>
    public string Depth(double? kpa, double? expectedKpa, double? ratio)
    {
        if (kpa is null) return "";
        string of = expectedKpa is null ? "" : $" of {Shown.Pressure(expectedKpa)}";
        string share = ratio is null ? "" : $" ({Quantities.Percent(ratio)} of healthy)";
        return $"{Shown.Pressure(kpa)}{of} {Shown.PressureUnit}{share}";
    }

    /// <summary>A section with its heading.</summary>
    public void Section(string id, string heading, Action write)
    {
        using (Html.Open("section", ("id", id), ("aria-labelledby", id + "-h")))
        {
            Html.Leaf("h2", heading, ("id", id + "-h"));
            write();
        }
    }

    /// <summary>A paragraph before a table or picture.</summary>
    public void Lead(string text) => Html.Leaf("p", text, ("class", "lead"));

    /// <summary>Sentences, a bullet each; at most so many, and what was left out is said.</summary>
    public void Bullets(IReadOnlyList<string> sentences, int most, string where)
    {
        if (sentences.Count == 0) return;
        using (Html.Open("ul", ("class", "plain")))
        {
            foreach (string sentence in sentences.Take(most)) Html.Leaf("li", Shown.Sentence(PageText.Cut(sentence, 600)));
            if (sentences.Count > most) Html.Leaf("li", $"and {Quantities.Count(sentences.Count - most)} more; all are in {where}");
        }
    }

    /// <summary>A table that scrolls inside itself where the screen is too narrow.</summary>
    /// <param name="name">What it is called where it cannot be seen.</param>
    /// <param name="caption">What stands over it.</param>
    /// <param name="heads">Heads of the columns; those that begin with <c>&lt;</c> are set left.</param>
    /// <param name="rowCount">How many rows; a table of few is not broken between two sheets of paper.</param>
    /// <param name="rows">Writes the rows.</param>
    public void Table(string name, string caption, IEnumerable<string> heads, int rowCount, Action rows)
    {
        string id = Html.NewId();
        Html.Leaf("p", caption, ("class", "caption"), ("id", id));      // outside, so that it does not scroll away with the table
        using (Html.Open("div", ("class", rowCount <= FewRows ? "scroll short" : "scroll"), ("role", "region"), ("tabindex", "0"), ("aria-label", name + ", table")))
        using (Html.Open("table", ("aria-label", name), ("aria-describedby", id)))
        {
            using (Html.Open("thead"))
            using (Html.Open("tr"))
            {
                foreach (string head in heads)
                {
                    bool words = head.StartsWith('<');
                    Html.Leaf("th", words ? head[1..] : head, ("scope", "col"), ("class", words ? "words" : null));
                }
            }
            using (Html.Open("tbody")) rows();
        }
    }

    /// <summary>A cell with a number, or with nothing.</summary>
    public void Cell(string text) => Html.Leaf("td", text);

    /// <summary>A cell with words.</summary>
    public void Words(string text) => Html.Leaf("td", text, ("class", "words"));

    /// <summary>A fact with its name.</summary>
    public void Fact(string name, string fact, params ReadOnlySpan<string> more)
    {
        using (Html.Open("div"))
        {
            Html.Leaf("dt", name);
            using (Html.Open("dd"))
            {
                Html.Text(Shown.Sentence(fact));
                foreach (string line in more)
                    if (line.Length > 0) Html.Leaf("span", Shown.Sentence(line));
            }
        }
    }
}
