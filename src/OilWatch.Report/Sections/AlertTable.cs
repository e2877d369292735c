using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Report.Markup;
using OilWatch.Results;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>Every alert in a table; the worst of them close up.</summary>
internal static class AlertTable
{
    private const int MostRows = 200;

    public static void Write(PageContext page) => page.Section("alerts", "Alerts close up", () =>
    {
        SessionResult result = page.Result;
        if (result.Alerts.IsEmpty)
        {
            page.Lead("No alert was raised.");
            return;
        }
        (Alert Alert, AlertTrace Trace)[] shown =
            [.. result.Alerts.Order(AlertOrder.WorstFirst).Select(alert => (Alert: alert, Trace: result.Traces.Of(alert)!)).Where(entry => entry.Trace is { Points.Length: > 1 })];
        string closeUps = shown.Length == result.Alerts.Length ? "Each is shown close up below, the worst first."
            : shown.Length == 0 ? "No readings were kept for close-ups."
            : $"The {Quantities.Count(shown.Length)} worst of {Quantities.Count(result.Alerts.Length)} are shown close up below, the worst first; the others are in the table only.";
        page.Lead(shown.Length == 0 ? closeUps : closeUps + " Their time axes count seconds from the beginning of the alert.");
        Table(page, shown);
        if (shown.Length == 0) return;
        CloseUp.Key(page);
        using (page.Html.Open("div", ("class", "closeups")))
        {
            foreach ((int place, (Alert alert, AlertTrace trace)) in shown.Index()) CloseUp.Write(page, place + 1, alert, trace);
        }
    });

    private static void Table(PageContext page, (Alert Alert, AlertTrace Trace)[] closeUps)
    {
        SessionResult result = page.Result;
        bool some = result.Alerts.Length > MostRows;
        string caption = some
            ? $"The {MostRows} worst of {Quantities.Count(result.Alerts.Length)} alerts in order of time; all are in alerts.jsonl."
            : "All alerts in order of time.";
        IEnumerable<Alert> rows = (some ? result.Alerts.Order(AlertOrder.WorstFirst).Take(MostRows) : result.Alerts.AsEnumerable()).OrderBy(alert => alert.Start);
        page.Table("Alerts", caption,
            [
                new("at, s", 18), new("severity", 30, Words: true), new("what", 34, Words: true), new("corner", 18, Words: true), new("lap"),
                new($"worst, {page.Shown.PressureUnit}", Tail: page.Shown.PressureUnit), new("healthy"), new("of healthy", Tail: "of healthy"), new("seconds", Tail: "s"), new("revolutions", Tail: "rev"), new("ended", Words: true, Tail: ""), new("close-up", Words: true),
            ],
            Math.Min(result.Alerts.Length, MostRows),
            table =>
            {
                foreach (Alert alert in rows) Row(page, table, alert, Array.FindIndex(closeUps, entry => ReferenceEquals(entry.Alert, alert)) + 1);
            });
    }

    private static void Row(PageContext page, HtmlTable table, Alert alert, int closeUp)
    {
        using (table.Row())
        {
            table.Head(Quantities.Number(alert.Start.Seconds, 1));
            using (table.Open()) SeverityMark.Write(page.Html, alert.Severity);
            using (table.Open()) What(page, alert);
            table.Cell(alert.Corner ?? "");
            table.Cell(alert.Lap is { } lap ? lap.ToString(CultureInfo.InvariantCulture) : "");
            table.Cell(page.Shown.Pressure(alert.MinKpa));
            table.Cell(page.Shown.Pressure(alert.ExpectedKpa));
            table.Cell(ReportWords.Share(alert));
            table.Cell(Quantities.Number(alert.DurationS, 2));
            table.Cell(Quantities.Count(alert.Revolutions));
            table.Cell(alert.Ending.Word());
            using (table.Open())
            {
                if (closeUp > 0) page.Html.Leaf("a", $"no. {closeUp}", ("href", $"#closeup-{closeUp}"));
            }
        }
    }

    private static void What(PageContext page, Alert alert)
    {
        page.Html.Text(alert.Kind == AlertKind.SensorFault ? $"sensor fault: {ReportWords.Name(alert.Channel)}" : ReportWords.Name(alert.Kind));
        if (ReportWords.Detail(alert) is not { } detail) return;
        page.Html.Text(", ");
        page.Html.Name(detail);
    }
}
