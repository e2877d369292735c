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

    /// <summary>A table; see <see cref="HtmlTable"/>.</summary>
    /// <param name="name">What it is called where it cannot be seen.</param>
    /// <param name="caption">What stands over it.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="rowCount">How many rows.</param>
    /// <param name="rows">Writes the rows.</param>
    public void Table(string name, string caption, IReadOnlyList<Column> columns, int rowCount, Action<HtmlTable> rows) =>
        HtmlTable.Write(Html, name, caption, columns, rowCount, rows);

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
