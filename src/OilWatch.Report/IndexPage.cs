using OilWatch.Report.Markup;
using OilWatch.Report.Plots;
using OilWatch.Report.Sections;
using OilWatch.Results;

namespace OilWatch.Report;

/// <summary>The page over several logs: the verdict of each and the way to its report.</summary>
public static class IndexPage
{
    /// <summary>The page's file name.</summary>
    public const string FileName = "index.html";

    /// <summary>Writes the page.</summary>
    /// <param name="rows">The logs in the order in which they were given.</param>
    /// <param name="options">How it is written.</param>
    /// <param name="target">Where to, as UTF-8; neither flushed to disk nor closed. What it throws passes through.</param>
    public static void Write(IReadOnlyList<IndexRow> rows, ReportOptions options, Stream target)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(target);
        PageShell.Write(target, "Engine reports", html =>
        {
            SvgPlot.DefineMarks(html);
            var shown = new Quantities(options.Units);
            using (html.Open("main", ("class", "wide")))
            using (html.Open("section", ("aria-labelledby", "logs-h")))
            {
                html.Leaf("h1", Quantities.Plural(rows.Count, "engine report"), ("id", "logs-h"));
                html.Leaf("p", Summary(rows), ("class", "lead"));
                html.Leaf("p", "In the order in which the logs were given. An empty cell means not known.", ("class", "caption"), ("id", "logs-c"));
                using (html.Open("div", ("class", "scroll"), ("role", "region"), ("tabindex", "0"), ("aria-label", "Logs, table")))
                using (html.Open("table", ("aria-label", "Logs"), ("aria-describedby", "logs-c"))) Table(html, shown, rows);
                html.Leaf("p", Alerts.Cautions.OneLine, ("class", "caption"));
            }
        });
    }

    private static string Summary(IReadOnlyList<IndexRow> rows)
    {
        string[] parts =
        [
            .. Enum.GetValues<Verdict>().Reverse().Select(verdict => (Word: ResultWords.Of(verdict), Count: rows.Count(row => row.Verdict == verdict)))
                .Where(part => part.Count > 0).Select(part => $"{Quantities.Count(part.Count)} {part.Word}"),
        ];
        int unread = rows.Count(row => row.Verdict is null);
        return string.Join(", ", unread == 0 ? parts : [.. parts, $"{Quantities.Count(unread)} without results"]) + ".";
    }

    private static void Table(HtmlWriter html, Quantities shown, IReadOnlyList<IndexRow> rows)
    {
        using (html.Open("thead"))
        using (html.Open("tr"))
        {
            html.Leaf("th", "log", ("scope", "col"), ("class", "words"));
            html.Leaf("th", "verdict", ("scope", "col"), ("class", "words"));
            html.Leaf("th", "in a sentence", ("scope", "col"), ("class", "words"));
            foreach (string head in (string[])["laps", "engine hours", "warnings", "cautions", "lowest, of healthy"]) html.Leaf("th", head, ("scope", "col"));
        }
        using (html.Open("tbody"))
        {
            foreach (IndexRow row in rows) Row(html, shown, row);
        }
    }

    private static void Row(HtmlWriter html, Quantities shown, IndexRow row)
    {
        bool read = row.Verdict is not null;
        using (html.Open("tr"))
        {
            using (html.Open("th", ("scope", "row"), ("class", "words")))
            {
                if (row.Folder is { } folder)
                {
                    using (html.Open("a", ("href", $"{Uri.EscapeDataString(folder)}/{SessionReport.FileName}"))) html.Name(row.LogName);
                }
                else
                {
                    html.Name(row.LogName);
                }
            }
            using (html.Open("td", ("class", "words"))) Verdict(html, row.Verdict);
            html.Leaf("td", shown.Sentence(PageText.Cut(row.Sentence, 600)), ("class", "long"));
            html.Leaf("td", read ? Quantities.Count(row.Laps) : "");
            html.Leaf("td", Quantities.Number(row.EngineHours, 2));
            html.Leaf("td", read ? Quantities.Count(row.Warnings) : "");
            html.Leaf("td", read ? Quantities.Count(row.Cautions) : "");
            html.Leaf("td", Quantities.Percent(row.MinRatio));
        }
    }

    private static void Verdict(HtmlWriter html, Verdict? verdict)
    {
        (Mark Mark, string Style)? sign = verdict switch
        {
            Results.Verdict.Stop => (Mark.Triangle, "warning"),
            Results.Verdict.Watch => (Mark.Diamond, "caution"),
            Results.Verdict.Clear => (Mark.Ring, "good"),
            _ => null,
        };
        using (html.Open("span", ("class", "sev " + (sign?.Style ?? "caution"))))
        {
            if (sign is { } known) SvgPlot.Sign(html, known.Mark, known.Style);
            html.Text(verdict is { } word ? ResultWords.Of(word) : "no results");
        }
    }
}
