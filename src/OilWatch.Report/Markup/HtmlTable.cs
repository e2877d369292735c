using System.Globalization;

namespace OilWatch.Report.Markup;

/// <summary>A table under construction. On a screen too narrow for all its columns those that matter less stand in a second line of the row.</summary>
internal sealed class HtmlTable
{
    private const int FewRows = 20;
    private readonly HtmlWriter _html;
    private readonly IReadOnlyList<Column> _columns;
    private int _next;

    private HtmlTable(HtmlWriter html, IReadOnlyList<Column> columns) => (_html, _columns) = (html, columns);

    /// <summary>Writes a table.</summary>
    /// <param name="html">Where to.</param>
    /// <param name="name">What it is called where it cannot be seen.</param>
    /// <param name="caption">What stands over it.</param>
    /// <param name="columns">Its columns.</param>
    /// <param name="rowCount">How many rows; a table of few is not broken between two sheets of paper.</param>
    /// <param name="rows">Writes the rows, cell by cell in the order of the columns.</param>
    public static void Write(HtmlWriter html, string name, string caption, IReadOnlyList<Column> columns, int rowCount, Action<HtmlTable> rows)
    {
        string id = html.NewId();
        html.Leaf("p", caption, ("class", "caption"), ("id", id));      // outside, so that it does not scroll away with the table
        using (html.Open("div", ("class", rowCount <= FewRows ? "scroll short" : "scroll"), ("role", "region"), ("tabindex", "0"), ("aria-label", name + ", table")))
        using (html.Open("table", ("aria-label", name), ("aria-describedby", id)))
        {
            using (html.Open("thead"))
            using (html.Open("tr"))
            {
                foreach (Column column in columns) html.Leaf("th", column.Head, ("scope", "col"), ("class", Style(column)));
            }
            using (html.Open("tbody")) rows(new HtmlTable(html, columns));
        }
    }

    /// <summary>A row, until the scope is disposed.</summary>
    public HtmlWriter.Scope Row(string? style = null)
    {
        _next = 0;
        return _html.Open("tr", ("class", style));
    }

    /// <summary>The cell that names the row.</summary>
    public void Head(string text)
    {
        using (OpenHead()) _html.Text(text);
    }

    /// <summary>The cell that names the row, until the scope is disposed.</summary>
    public HtmlWriter.Scope OpenHead() => _html.Open("th", ("scope", "row"), ("class", Style(_columns[_next++])));

    /// <summary>A cell with text or with nothing.</summary>
    public void Cell(string text)
    {
        using (Open()) _html.Text(text.Length > 1 && text[0] == '-' && char.IsAsciiDigit(text[1]) ? "\u2212" + text[1..] : text);
    }

    /// <summary>A cell, until the scope is disposed.</summary>
    public HtmlWriter.Scope Open()
    {
        Column column = _columns[_next++];
        bool labelled = column.Phone == 0 && !column.Long;
        return _html.Open("td", ("class", Style(column)), ("data-head", labelled && column.Tail is null ? column.Head : null), ("data-tail", labelled ? column.Tail : null));
    }

    private static string Style(Column column) =>
        (column.Words || column.Long ? "words " : "") + (column.Long ? "long " : "") +
        (column.Phone == 0 ? "more" : string.Create(CultureInfo.InvariantCulture, $"w{column.Phone}"));
}
