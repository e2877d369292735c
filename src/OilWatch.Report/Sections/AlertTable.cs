using System.Globalization;
using OilWatch.Alerts;
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
                "at, s", "<severity", "<what", "lap", "<corner", $"lowest, {page.Shown.PressureUnit}", "healthy", "of healthy", "seconds", "revolutions", "<ended", "<close-up",
            ],
            Math.Min(result.Alerts.Length, MostRows),
            () =>
            {
                foreach (Alert alert in rows) Row(page, alert, Array.FindIndex(closeUps, entry => ReferenceEquals(entry.Alert, alert)) + 1);
            });
    }

    private static void Row(PageContext page, Alert alert, int closeUp)
    {
        using (page.Html.Open("tr"))
        {
            page.Html.Leaf("th", Quantities.Number(alert.Start.Seconds, 1), ("scope", "row"));
            using (page.Html.Open("td", ("class", "words"))) SeverityMark.Write(page.Html, alert.Severity);
            using (page.Html.Open("td", ("class", "words"))) What(page, alert);
            page.Cell(alert.Lap is { } lap ? lap.ToString(CultureInfo.InvariantCulture) : "");
            page.Words(alert.Corner ?? "");
            page.Cell(page.Shown.Pressure(alert.MinKpa));
            page.Cell(page.Shown.Pressure(alert.ExpectedKpa));
            page.Cell(Quantities.Percent(alert.MinRatio));
            page.Cell(Quantities.Number(alert.DurationS, 2));
            page.Cell(Quantities.Count(alert.Revolutions));
            page.Words(alert.Ending.Word());
            using (page.Html.Open("td", ("class", "words")))
            {
                if (closeUp > 0) page.Html.Leaf("a", $"no. {closeUp}", ("href", $"#closeup-{closeUp}"));
            }
        }
    }

    private static void What(PageContext page, Alert alert)
    {
        page.Html.Text(alert.Kind == AlertKind.SensorFault ? $"sensor fault: {ReportWords.Name(alert.Channel)}" : ReportWords.Name(alert.Kind));
        if (alert.Detail is not { } detail) return;
        page.Html.Text(", ");
        page.Html.Name(detail);
    }
}
