using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>The verdict in one word and one sentence, and the six answers that are looked for first.</summary>
internal static class VerdictSection
{
    /// <summary>The band at the top.</summary>
    public static void Write(PageContext page)
    {
        SessionResult result = page.Result;
        string word = ResultWords.Of(result.Verdict);
        using (page.Html.Open("header", ("class", "verdict " + word)))
        using (page.Html.Open("div", ("class", "wide")))
        {
            using (page.Html.Open("p", ("class", "run")))
            {
                page.Html.Text("Engine report for ");
                if (result.CarName is { } car)
                {
                    page.Html.Name(car);
                    page.Html.Text(", ");
                }
                page.Html.Name(result.LogName);
                page.Html.Text(Run(result));
            }
            using (page.Html.Open("h1"))
            {
                Shape(page, result.Verdict);
                page.Html.Text(word.ToUpperInvariant());
            }
            page.Html.Leaf("p", page.Shown.Sentence(result.Headline), ("class", "headline"));
        }
    }

    /// <summary>How bad, where, which way, how long, what to look at, what is not known.</summary>
    public static void Facts(PageContext page)
    {
        SessionResult result = page.Result;
        Alert? worst = result.Alerts.Where(alert => alert.Kind != AlertKind.SensorFault).Order(AlertOrder.WorstFirst).FirstOrDefault();
        using (page.Html.Open("dl", ("class", "facts")))
        {
            if (worst is null || result.Verdict == Verdict.Clear) Calm(page, worst);
            else if (worst.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure) Found(page, worst);
            else Other(page, worst);
            if (Inspections.First(result) is [var first, ..] all)
                page.Fact(result.Verdict == Verdict.Clear ? "Worth a look some time" : "Look at first", First(first.What), string.Join(", then ", all.Skip(1).Take(2).Select(next => next.What)));
            else if (result.Verdict != Verdict.Clear && Inspections.OfSensors(result) is [var sensor, ..])
                page.Fact("Look at first", First(sensor.What), "for the sensor that was not to be believed");
            Unknown(page);
        }
    }

    private static void Found(PageContext page, Alert worst)
    {
        SessionResult result = page.Result;
        StarvationTotal total = StarvationTotal.Of(result);
        string depth = page.Depth(worst.MinKpa, worst.ExpectedKpa, worst.MinRatio);
        page.Fact("How bad", depth.Length > 0 ? depth : worst.Message, $"{worst.Severity.Word()}: {Kind(worst)}");
        CornerHarm? corner = result.WorstCorners.IsEmpty ? null : result.WorstCorners[0];
        if (corner is not null)
            page.Fact("Which corner", corner.Corner, Lost(result, corner),
                result.WorstCorners.Length > 1 ? $"also in {string.Join(", ", result.WorstCorners.Skip(1).Take(4).Select(other => other.Corner))}{(result.WorstCorners.Length > 5 ? ", ..." : "")}" : "");
        else
            page.Fact("Where", First(Place(worst)), "no corner of the circuit is known for it");
        (LoadDirection way, string times, double? before, int alike) = Way(result, worst);
        page.Fact("Which way", way == LoadDirection.None ? "Not under sustained load" : First(ReportWords.Load(way)), times,
            worst.PeakLateralG is { } g ? $"{Quantities.Number(g, 2)} g to the side at most in the worst one" : "",
            before is { } seconds && way != LoadDirection.None ? $"it began after {Quantities.Number(seconds, 1)} s of load{(alike > 1 ? " (median)" : "")}" : "");
        if (total.Events > 0)
            page.Fact("How long", $"{Quantities.Number(total.LongestS, 1)} s at the longest",
                $"{Quantities.Number(total.DurationS, 1)} s in all, {Quantities.Plural(total.Events, "time")}{Slight(result)}",
                total.Revolutions is { } turns ? $"{Quantities.Count(turns)} crank revolutions without healthy pressure" : "");
        else
            page.Fact("How long", HowLong(worst), Place(worst));
    }

    /// <summary>The worst is not about oil pressure: there is no corner and no way to it.</summary>
    private static void Other(PageContext page, Alert worst)
    {
        page.Fact("How bad", worst.Message, $"{worst.Severity.Word()}: {Kind(worst)}");
        page.Fact("Where", First(Place(worst)));
        page.Fact("How long", HowLong(worst), worst.Ending == EventEnd.Recovered ? "" : ReportWords.Ending(worst.Ending));
    }

    /// <summary>The headline counts what is a caution or more; here the slight ones are in the sum.</summary>
    private static string Slight(SessionResult result)
    {
        int slight = result.Alerts.Count(alert => alert is { Kind: AlertKind.OilStarvation, Severity: Severity.Advisory });
        return slight == 0 || slight == result.Alerts.Count(alert => alert.Kind == AlertKind.OilStarvation) ? "" : $", {Quantities.Count(slight)} of them slight";
    }

    private static string Lost(SessionResult result, CornerHarm corner)
    {
        string passes = Quantities.Plural(corner.Passes, "pass", "passes");
        if (corner.Starved > 0) return $"pressure lost in {Quantities.Count(corner.Starved)} of {passes}";
        int dips = result.Alerts.Count(alert => alert.Kind == AlertKind.OilStarvation && string.Equals(alert.Corner, corner.Corner, StringComparison.Ordinal));
        return $"{Quantities.Plural(dips, "dip")} in {passes}, none deep or long enough to count as lost";
    }

    /// <summary>The way of most of what was found, not only of the worst.</summary>
    private static (LoadDirection Way, string Times, double? BeforeS, int Count) Way(SessionResult result, Alert worst)
    {
        Alert[] alike = [.. result.Alerts.Where(alert => alert.Kind == worst.Kind)];
        LoadDirection way = alike.GroupBy(alert => alert.Direction).OrderByDescending(group => group.Count()).ThenByDescending(group => group.Key == worst.Direction).First().Key;
        int times = alike.Count(alert => alert.Direction == way);
        double[] before = [.. alike.Where(alert => alert.Direction == way).Select(alert => alert.LoadBeforeS).OfType<double>().Order()];
        double? median = before.Length == 0 ? null : 0.5 * (before[(before.Length - 1) / 2] + before[before.Length / 2]);
        return (way, times == alike.Length ? "" : $"{Quantities.Count(times)} of {Quantities.Plural(alike.Length, "time")}", median, before.Length);
    }

    private static string HowLong(Alert alert) => alert.DurationS is { } length ? $"{Quantities.Number(length, 1)} s" : "Not known";

    private static void Calm(PageContext page, Alert? noted)
    {
        SessionResult result = page.Result;
        LapSummary? low = result.Laps.Where(lap => lap.OilPressureMinRatio is not null).MinBy(lap => lap.OilPressureMinRatio);
        page.Fact("How bad", result.Baseline is null ? "Not known" : "No loss of oil pressure found",
            result.Baseline is null ? "oil pressure could not be judged" : "in what could be judged");
        if (low is not null)
            page.Fact("Lowest", $"{Quantities.Percent(low.OilPressureMinRatio)} of healthy", $"lap {low.Lap}; the least there was {page.Pressure(low.OilPressureMinKpa)}");
        if (noted is not null) page.Fact("Noted", noted.Message, $"{noted.Severity.Word()}: {Kind(noted)}, {Place(noted)}");
    }

    private static void Unknown(PageContext page)
    {
        SessionResult result = page.Result;
        Alert[] faults = [.. result.Alerts.Where(alert => alert.Kind == AlertKind.SensorFault)];
        string[] parts =
        [
            result.NotJudged.IsEmpty ? "" : $"{Quantities.Plural(result.NotJudged.Length, "thing")} could not be judged",
            faults.Length == 0 ? "" : NotBelieved(faults),
            result.Baseline is { Confidence: not "good" and var confidence } ? $"confidence in the healthy pressure is {confidence}" : "",
        ];
        string[] said = [.. parts.Where(part => part.Length > 0)];
        page.Fact("Not known", said.Length == 0 ? "Nothing of what matters was missing" : First(said[0]), [.. said.Skip(1), said.Length == 0 ? "" : "see \u201cWhat is not known\u201d"]);
    }

    /// <summary><c>engine speed and oil pressure were not to be believed for 14.2 s</c>.</summary>
    private static string NotBelieved(Alert[] faults)
    {
        string[] names = [.. faults.Select(fault => ReportWords.Name(fault.Channel)).Distinct(StringComparer.Ordinal)];
        string who = names.Length switch { 1 => names[0], 2 => $"{names[0]} and {names[1]}", _ => $"{Quantities.Count(names.Length)} sensors" };
        string howLong = faults.All(fault => fault.DurationS is not null) ? $" for {Quantities.Number(faults.Sum(fault => fault.DurationS), 1)} s" : "";
        return $"{who} {(names.Length == 1 ? "was" : "were")} not to be believed{howLong}{(faults.Length > 1 ? ", " + Quantities.Plural(faults.Length, "time") : "")}";
    }

    private static string Run(SessionResult result)
    {
        string[] parts =
        [
            result.Laps.Length > 0 ? Quantities.Plural(result.Laps.Length, "lap") : "no laps found",
            result.EngineHours is { } hours ? Quantities.Number(hours, 2) + " engine hours" : "",
            result.EngineRevolutions is { } turns ? Quantities.Count(turns) + " crank revolutions" : "",
            result.AsLive ? "judged as the pit saw it" : "",
        ];
        return " \u2013 " + string.Join(", ", parts.Where(part => part.Length > 0));
    }

    private static string Kind(Alert alert) => ReportWords.Name(alert.Kind) + (ReportWords.Detail(alert) is { } detail ? $" ({detail})" : "");

    private static string Place(Alert alert)
    {
        string lap = alert.Lap is { } number ? $", lap {Quantities.Count(number)}" : "";
        return $"at {Quantities.Number(alert.Start.Seconds, 1)} s{lap}{(alert.Corner is { } corner ? $", {corner}" : "")}";
    }

    private static string First(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>An octagon, a triangle or a circle: told apart without colour.</summary>
    private static void Shape(PageContext page, Verdict verdict)
    {
        using (page.Html.Open("svg", ("viewBox", "0 0 100 100"), ("aria-hidden", "true")))
        {
            (string outline, string inside) = verdict switch
            {
                Verdict.Stop => ("M32 6H68L94 32V68L68 94H32L6 68V32Z", "M28 50H72"),
                Verdict.Watch => ("M50 8L95 90H5Z", "M50 38V62M50 76V77"),
                _ => ("M6 50A44 44 0 1 0 94 50A44 44 0 1 0 6 50Z", "M30 52L45 67L72 36"),
            };
            page.Html.Empty("path", ("d", outline));
            page.Html.Empty("path", ("d", inside));
        }
    }
}
