using OilWatch.Alerts;
using OilWatch.Report.Markup;
using OilWatch.Report.Plots;
using OilWatch.Report.Sections;
using OilWatch.Results;

namespace OilWatch.Report;

/// <summary>The report of a session: one page that needs no network, no script and no other file.</summary>
/// <remarks>The same result and options give the same bytes on every machine. Every number on it is in the result, and in its JSON.</remarks>
public static class SessionReport
{
    /// <summary>The report's file name.</summary>
    public const string FileName = "report.html";

    /// <summary>The report as one of a session's result files.</summary>
    /// <param name="options">How it is written.</param>
    public static ResultFile File(ReportOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        return new ResultFile(FileName, (result, target) => Write(result, options, target));
    }

    /// <summary>Writes the report.</summary>
    /// <param name="result">What was found.</param>
    /// <param name="options">How it is written.</param>
    /// <param name="target">Where to, as UTF-8; neither flushed to disk nor closed. What it throws passes through.</param>
    public static void Write(SessionResult result, ReportOptions options, Stream target)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(target);
        PageShell.Write(target, $"{ResultWords.Of(result.Verdict).ToUpperInvariant()} \u2013 {PageText.Cut(result.LogName, 120)}", html =>
        {
            var page = new PageContext(result, options, new Quantities(options.Units), html);
            SvgPlot.DefineMarks(html);
            html.Leaf("a", "Skip to what to do", ("class", "skip"), ("href", "#before"));
            VerdictSection.Write(page);
            using (html.Open("main", ("class", "wide")))
            {
                VerdictSection.Facts(page);
                Contents(page);
                BeforeGoingOut.Write(page);
                LapTable.Write(page);
                CornerTable.Write(page);
                AlertTable.Write(page);
                PressureMap.Write(page);
                LoadPicture.Write(page);
                CrankcaseSection.Write(page);
                VibrationSection.Write(page);
                SensorTable.Write(page);
                BasisSection.Write(page);
                AdviceSection.Write(page);
            }
            using (html.Open("footer"))
            using (html.Open("div", ("class", "wide"))) html.Text(Cautions.OneLine);
        });
    }

    private static void Contents(PageContext page)
    {
        (string Id, string Word)[] places =
            [("before", "What to do"), ("laps", "Laps"), ("corners", "Corners"), ("alerts", "Alerts close up"), ("sensors", "Sensors"), ("basis", "How it was judged"), ("advice", "Cautions")];
        using (page.Html.Open("nav", ("aria-label", "On this page")))
        using (page.Html.Open("ul"))
        {
            foreach ((string id, string word) in places)
            {
                using (page.Html.Open("li")) page.Html.Leaf("a", word, ("href", "#" + id));
            }
        }
    }
}
