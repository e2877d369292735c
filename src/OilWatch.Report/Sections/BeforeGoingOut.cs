using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>What to do before the car goes out again, and what is not known.</summary>
internal static class BeforeGoingOut
{
    private const int MostInspections = 6;
    private const int MostSentences = 12;

    public static void Write(PageContext page) => page.Section("before", "Before going out again", () =>
    {
        using (page.Html.Open("div", ("class", "pair")))
        {
            using (page.Html.Open("div")) ToDo(page);
            using (page.Html.Open("div"))
            {
                Cause(page);
                NotKnown(page);
            }
        }
    });

    private static void ToDo(PageContext page)
    {
        SessionResult result = page.Result;
        Inspection[] first = [.. Inspections.First(result).Take(MostInspections)];
        Inspection[] sensors = [.. Inspections.OfSensors(result).Take(MostInspections)];
        page.Lead(result.Verdict switch
        {
            Verdict.Watch when first.Length == 0 && sensors.Length > 0 => "Look at the sensors first: what they hid is not known.",
            Verdict.Watch when first.Length == 0 => "Look at what is not known first.",
            Verdict.Clear when first.Length > 0 => "Nothing has to be done before going out again. The advisories ask for a look at these some time:",
            Verdict.Stop => "Do not go out again before these have been looked at, in this order:",
            Verdict.Watch => "Look at these first, in this order:",
            _ => "Nothing in the data asks for a look. The usual checks between runs stay as they are.",
        });
        List(page, first);
        if (sensors.Length == 0) return;
        page.Html.Leaf("h3", "For the sensors");
        List(page, sensors);
    }

    private static void Cause(PageContext page)
    {
        SessionResult result = page.Result;
        if (result.Cause is { Outcome: CauseOutcome.Named or CauseOutcome.CannotTell } cause)
        {
            page.Html.Leaf("h3", cause.Outcome == CauseOutcome.Named ? "Likely cause" : "The cause cannot be told for sure");
            Reading(page, cause.Reading);
            page.Bullets([.. cause.Evidence, .. cause.Also.Select(also => "beside it: " + also)], MostSentences, "summary.json");
        }
        else
        {
            CauseOfTheWorst(page);
        }
    }

    private static void Reading(PageContext page, string reading) =>
        page.Html.Leaf("p", page.Shown.Sentence(reading.Length > 0 ? char.ToUpperInvariant(reading[0]) + reading[1..] + "." : reading));

    private static void CauseOfTheWorst(PageContext page)
    {
        Alert? worst = page.Result.Alerts.Where(alert => alert.Reading is not null && alert.Kind != AlertKind.SensorFault).Order(AlertOrder.WorstFirst).FirstOrDefault();
        if (worst is null) return;
        page.Html.Leaf("h3", "Likely cause of the worst one");
        Reading(page, worst.Reading!);
        page.Bullets(worst.Evidence.IsDefault ? [] : worst.Evidence, MostSentences, "alerts.jsonl");
    }

    private static void NotKnown(PageContext page)
    {
        SessionResult result = page.Result;
        page.Html.Leaf("h3", "What is not known");
        string[] faults = [.. result.Alerts.Where(alert => alert.Kind == AlertKind.SensorFault).Order(AlertOrder.WorstFirst).Select(Fault)];
        string[] basis = result.Baseline is { Confidence: not "good" } baseline
            ? [$"Healthy pressure is {ReportWords.Origin(baseline.Origin)}; confidence {baseline.Confidence}.", .. baseline.Notes.IsDefault ? [] : baseline.Notes]
            : [];
        string[] all = [.. result.NotJudged.IsDefault ? [] : result.NotJudged, .. basis, .. faults];
        if (all.Length == 0) page.Html.Leaf("p", "Nothing of what matters was missing from the log.");
        page.Bullets(all, MostSentences, "summary.json and alerts.jsonl");
        page.Html.Leaf("p", "What was not seen in the data has not been shown to be healthy.", ("class", "soft"));
    }

    private static string Fault(Alert alert)
    {
        string length = alert.DurationS is { } duration ? $" for {Quantities.Number(duration, 1)} s" : "";
        return $"From {Quantities.Number(alert.Start.Seconds, 1)} s{length}: {ReportWords.Name(alert.Channel)} was not to be believed" +
            (alert.Detail is { } detail ? $" ({detail})." : ".");
    }

    private static void List(PageContext page, Inspection[] inspections)
    {
        if (inspections.Length == 0) return;
        using (page.Html.Open("ol", ("class", "first")))
        {
            foreach (Inspection inspection in inspections)
            {
                using (page.Html.Open("li"))
                {
                    page.Html.Text(inspection.What + " ");
                    page.Html.Leaf("span", $"({Quantities.Plural(inspection.Alerts, "alert")})");
                }
            }
        }
    }
}
