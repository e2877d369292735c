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
                HtmlTable.Write(html, "Logs", "In the order in which the logs were given. An empty cell means not known.", Columns, rows.Count, table =>
                {
                    foreach (IndexRow row in rows) Row(html, table, shown, row);
                });
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

    private static Column[] Columns { get; } =
    [
        new("log", 60, Words: true), new("verdict", 40, Words: true), new("in a sentence", Long: true), new("laps", Tail: "laps"),
        new("engine hours", Tail: "engine hours"), new("warnings", Tail: "warnings"), new("cautions", Tail: "cautions"), new("lowest, of healthy", Tail: "of healthy at the lowest"),
    ];

    private static void Row(HtmlWriter html, HtmlTable table, Quantities shown, IndexRow row)
    {
        bool read = row.Verdict is not null;
        using (table.Row())
        {
            using (table.OpenHead())
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
            using (table.Open()) Verdict(html, row.Verdict);
            table.Cell(shown.Sentence(PageText.Cut(row.Sentence, 600)));
            table.Cell(read ? Quantities.Count(row.Laps) : "");
            table.Cell(Quantities.Number(row.EngineHours, 2));
            table.Cell(read ? Quantities.Count(row.Warnings) : "");
            table.Cell(read ? Quantities.Count(row.Cautions) : "");
            table.Cell(Quantities.Percent(row.MinRatio));
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
