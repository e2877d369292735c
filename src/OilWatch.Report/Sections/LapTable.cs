using System.Globalization;
using OilWatch.Laps;
using OilWatch.Report.Plots;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>A row a lap, with pressure along it.</summary>
internal static class LapTable
{
    private const int MostLaps = 120;
    private const double Top = 1.25;

    public static void Write(PageContext page) => page.Section("laps", "Laps", () =>
    {
        SessionResult result = page.Result;
        if (result.Laps.IsEmpty)
        {
            page.Lead("No laps were found. Why is said under \u201cWhat is not known\u201d.");
            return;
        }
        bool some = result.Laps.Length > MostLaps;
        string caption = "The small graph is oil pressure along the lap as a share of healthy; the dashed line is healthy, red is what is missing. " +
            "\u201cno\u201d means judged and did not happen; an empty cell means not known." +
            (some ? $" These are the {MostLaps} worst of {Quantities.Count(result.Laps.Length)} laps; all are in laps.csv." : "");
        LapSummary[] laps = [.. some ? Worst(result) : result.Laps];
        Column[] first = [.. First.Where(column => laps.Any(lap => column.Cell(lap).Length > 0))];
        Column[] rest = [.. Rest(page).Where(column => laps.Any(lap => column.Cell(lap).Length > 0))];
        page.Table("Laps", caption, ["lap", .. first.Select(column => column.Head), "<pressure along the lap", .. rest.Select(column => column.Head)], laps.Length, () =>
        {
            foreach (LapSummary lap in laps) Row(page, lap, first, rest);
        });
    });

    /// <summary>What can be seen on a phone without scrolling.</summary>
    private static Column[] First { get; } =
    [
        new("of healthy", lap => Quantities.Percent(lap.OilPressureMinRatio)),
        new("starved", lap => lap.StarvationEvents switch { null => "", 0 => "no", { } times => $"{Quantities.Plural(times, "time")}, {Quantities.Number(lap.StarvationS, 1)} s" }),
    ];

    private static Column[] Rest(PageContext page)
    {
        Quantities shown = page.Shown;
        return
        [
            new("time", lap => Quantities.Clock(lap.End.SecondsSince(lap.Start))),
            new($"lowest, {shown.PressureUnit}", lap => shown.Pressure(lap.OilPressureMinKpa)),
            new("starved, rev", lap => lap.StarvationEvents > 0 ? Quantities.Count(lap.StarvationRevolutions) : ""),
            new("low without load, s", lap => lap.LowPressureS > 0 ? Quantities.Number(lap.LowPressureS, 1) : ""),
            new("most rpm", lap => Quantities.Number(lap.PeakRpm, 0)),
            new("most g", lap => Quantities.Number(lap.PeakLateralG, 2)),
            new($"hottest oil, {shown.TemperatureUnit}", lap => shown.Temperature(lap.OilTemperatureMaxC)),
            new($"crankcase mean, {shown.PressureUnit}", lap => Quantities.Number(InUnit(lap.CrankcasePressureMeanKpa), 1)),
            new($"crankcase most, {shown.PressureUnit}", lap => Quantities.Number(InUnit(lap.CrankcasePressureMaxKpa), 1)),
            new("most vibration, g", lap => Quantities.Number(lap.VibrationMax, 2)),
            new("in bands, s", lap => Quantities.Number(lap.BandDwellS, 1)),
        ];

        double? InUnit(double? kpa) => kpa is { } known ? shown.InPressureUnit(known) : null;
    }

    private static void Row(PageContext page, LapSummary lap, Column[] first, Column[] rest)
    {
        using (page.Html.Open("tr", ("class", lap.StarvationEvents > 0 ? "hit" : null)))
        {
            string kind = lap.Kind == LapKind.Timed ? "" : $" {ResultWords.Of(lap.Kind)}";
            page.Html.Leaf("th", lap.Lap.ToString(CultureInfo.InvariantCulture) + kind, ("scope", "row"));
            foreach (Column column in first) page.Cell(column.Cell(lap));
            using (page.Html.Open("td", ("class", "words graph"))) Graph(page, lap);
            foreach (Column column in rest) page.Cell(column.Cell(lap));
        }
    }

    private static void Graph(PageContext page, LapSummary lap)
    {
        double lapS = lap.End.SecondsSince(lap.Start);
        if (page.Result.Traces.PressureRatio is not { } strip || lap.OilPressureMinRatio is null || !(lapS > 0)) return;
        SvgPlot.InRow(page.Html, [.. strip.Between(lap.Start, lap.End).Select(bin => (bin.AfterS / lapS, bin.Ratio))], Top,
            $"Oil pressure along lap {lap.Lap}; at the least {Quantities.Percent(lap.OilPressureMinRatio)} of healthy");
    }

    private static IEnumerable<LapSummary> Worst(SessionResult result) => result.Laps
        .Select((lap, place) => (Lap: lap, Place: place))
        .OrderByDescending(entry => entry.Lap.StarvationS ?? 0)
        .ThenBy(entry => entry.Lap.OilPressureMinRatio ?? double.PositiveInfinity)
        .ThenBy(entry => entry.Place)
        .Take(MostLaps)
        .OrderBy(entry => entry.Place)
        .Select(entry => entry.Lap);

    private sealed record Column(string Head, Func<LapSummary, string> Cell);
}
