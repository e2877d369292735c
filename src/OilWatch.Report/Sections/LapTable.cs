using System.Globalization;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Report.Markup;
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
        Field[] first = [.. First.Where(field => laps.Any(lap => field.Cell(lap).Length > 0))];
        Field[] rest = [.. Rest(page).Where(field => laps.Any(lap => field.Cell(lap).Length > 0))];
        Column[] columns =
        [
            new("lap", 17), .. first.Select(field => new Column(field.Head, field.Phone)), new("pressure along the lap", 30, Words: true),
            .. rest.Select(field => new Column(field.Head, Tail: field.Tail)),
        ];
        page.Table("Laps", caption, columns, laps.Length, table =>
        {
            foreach (LapSummary lap in laps) Row(page, table, lap, first, rest);
        });
    });

    /// <summary>What is seen first on a phone.</summary>
    private static Field[] First { get; } =
    [
        new("of healthy", 19, lap => Quantities.Percent(lap.OilPressureMinRatio)),
        new("starved", 32, lap => lap.StarvationEvents switch { null => "", 0 => "no", { } times => $"{Quantities.Plural(times, "time")}, {Quantities.Number(lap.StarvationS, 1)} s" }),
    ];

    private static Field[] Rest(PageContext page)
    {
        Quantities shown = page.Shown;
        string vibration = page.Result.Plan.UnitOf(Role.Vibration);
        return
        [
            new("time", "", lap => Quantities.Clock(lap.End.SecondsSince(lap.Start))),
            new($"lowest, {shown.PressureUnit}", $"{shown.PressureUnit} lowest", lap => shown.Pressure(lap.OilPressureMinKpa)),
            new("starved, rev", "rev starved", lap => lap.StarvationEvents > 0 ? Quantities.Count(lap.StarvationRevolutions) : ""),
            new("low without load, s", "s low without load", lap => lap.LowPressureS > 0 ? Quantities.Number(lap.LowPressureS, 1) : ""),
            new("most rpm", "rpm", lap => Quantities.Number(lap.PeakRpm, 0)),
            new("most g", "g", lap => Quantities.Number(lap.PeakLateralG, 2)),
            new($"hottest oil, {shown.TemperatureUnit}", $"{shown.TemperatureUnit} oil", lap => shown.Temperature(lap.OilTemperatureMaxC)),
            new($"crankcase mean, {shown.PressureUnit}", $"{shown.PressureUnit} crankcase mean", lap => shown.SmallPressure(lap.CrankcasePressureMeanKpa)),
            new($"crankcase most, {shown.PressureUnit}", $"{shown.PressureUnit} most", lap => shown.SmallPressure(lap.CrankcasePressureMaxKpa)),
            new($"most vibration, {vibration}", $"{vibration} vibration", lap => Quantities.Number(lap.VibrationMax, 2)),
            new("in bands, s", "s in bands", lap => Quantities.Number(lap.BandDwellS, 1)),
        ];
    }

    private static void Row(PageContext page, HtmlTable table, LapSummary lap, Field[] first, Field[] rest)
    {
        using (table.Row(lap.StarvationEvents > 0 ? "hit" : null))
        {
            string kind = lap.Kind == LapKind.Timed ? "" : $" {ResultWords.Of(lap.Kind)}";
            table.Head(lap.Lap.ToString(CultureInfo.InvariantCulture) + kind);
            foreach (Field field in first) table.Cell(field.Cell(lap));
            using (table.Open()) Graph(page, lap);
            foreach (Field field in rest) table.Cell(field.Cell(lap));
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

    private sealed record Field(string Head, int Phone, Func<LapSummary, string> Cell)
    {
        public Field(string head, string tail, Func<LapSummary, string> cell)
            : this(head, 0, cell) => Tail = tail;

        public string? Tail { get; }
    }
}
