using System.Globalization;
using OilWatch.Cars;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>How it was judged: baseline, reading, thresholds, version.</summary>
internal static class BasisSection
{
    private const int MostSentences = 20;

    public static void Write(PageContext page) => page.Section("basis", "How it was judged", () =>
    {
        SessionResult result = page.Result;
        string[] sentences =
        [
            Healthy(page), .. result.Baseline is { Notes.IsDefault: false } baseline ? baseline.Notes : [],
            result.AsLive ? "Every moment was judged by what the pit knew then." : "Healthy pressure was learned from the whole run, the alerts were found moment by moment as they would have been live.",
            .. result.Plan.Notes.IsDefault ? [] : result.Plan.Notes, .. result.Assumptions.IsDefault ? [] : result.Assumptions, Reading(result),
        ];
        page.Bullets(sentences, MostSentences, "summary.json");
        if (!result.Limits.IsDefaultOrEmpty) Limits(page);
        if (page.Options.Version is { } version)
            page.Html.Leaf("p", $"Judged by oilwatch {version}; results format {ResultFiles.FormatVersion.ToString(CultureInfo.InvariantCulture)}.", ("class", "soft"));
    });

    private static string Healthy(PageContext page)
    {
        if (page.Result.Baseline is not { } baseline) return "Oil pressure was not judged.";
        string calm = baseline.CalmS is { } seconds ? $", from {Quantities.Count(seconds)} s of calm running" : "";
        string spread = baseline.FitErrorKpa is { } error
            ? $", give or take {page.Pressure(error)}{(baseline.FitErrorRatio is { } ratio ? $" ({Quantities.Number(100 * ratio, 1)} %)" : "")}"
            : "";
        return $"Healthy pressure is {ReportWords.Origin(baseline.Origin)}{calm}{spread}; confidence {baseline.Confidence}.";
    }

    private static string Reading(SessionResult result) =>
        $"Read as {result.FormatName}: {Quantities.Plural(result.Reading.Lines, "line")}" +
        (result.Reading.ProblemCount > 0 ? $", {Quantities.Plural(result.Reading.ProblemCount, "problem")}; they are in summary.json." : ", without problems.");

    private static void Limits(PageContext page)
    {
        (LimitRow Now, double Usual)[] rows = [.. page.Result.Limits.Select(limit => (limit, Usual(limit)))];
        int changed = rows.Count(row => !row.Now.Default.Equals(row.Usual));
        page.Html.Leaf("p", changed == 0
            ? "All thresholds stand at their defaults, which are starting points."
            : $"{Quantities.Plural(changed, "threshold")} set in the car file; the others stand at their defaults, which are starting points.", ("class", "below"));
        using (page.Html.Open("details"))
        {
            page.Html.Leaf("summary", $"All {Quantities.Count(rows.Length)} thresholds");
            page.Table("Thresholds", "In SI units, as they stand in the car file.", [new("section", Words: true), new("threshold", 60, Words: true), new("value", 20), new("default", 20), new("unit", Words: true), new("meaning", Long: true)], rows.Length, table =>
            {
                foreach ((LimitRow limit, double usual) in rows)
                {
                    using (table.Row())
                    {
                        table.Cell(limit.Section);
                        table.Head(limit.Key);
                        table.Cell(Number(limit.Default));
                        table.Cell(limit.Default.Equals(usual) ? "same" : Number(usual));
                        table.Cell(limit.Unit);
                        table.Cell(limit.Meaning);
                    }
                }
            });
        }
    }

    private static double Usual(LimitRow limit) => LimitTable.All.FirstOrDefault(usual =>
        string.Equals(usual.Section, limit.Section, StringComparison.Ordinal) && string.Equals(usual.Key, limit.Key, StringComparison.Ordinal))?.Default ?? limit.Default;

    private static string Number(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
