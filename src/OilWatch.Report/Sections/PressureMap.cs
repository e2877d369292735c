using OilWatch.Alerts;
using OilWatch.Report.Plots;
using OilWatch.Results;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>Pressure against engine speed: the run as a cloud, the healthy curve, the drops by shape.</summary>
internal static class PressureMap
{
    private const int MostDrops = 200;
    private const double MostKpa = 1e5, MostRpm = 1e5;     // beyond them no engine is; they would leave the rest no room

    public static void Write(PageContext page)
    {
        SessionResult result = page.Result;
        (double SpeedRpm, double PressureKpa)[] curve = result.Baseline is { Curve.IsDefaultOrEmpty: false } baseline ? [.. baseline.Curve.Where(point => double.IsFinite(point.SpeedRpm) && double.IsFinite(point.PressureKpa))] : [];
        Alert[] drops =
        [
            .. result.Alerts.Where(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure && alert is { MinKpa: >= 0 and < MostKpa, RpmAtMin: >= 0 and < MostRpm })
                .Order(AlertOrder.WorstFirst).Take(MostDrops).Reverse(),
        ];
        SpeedCloud? cloud = result.Traces.Pressure;
        if (cloud is null && curve.Length == 0 && drops.Length == 0) return;
        page.Section("pressure", "Pressure against engine speed", () =>
        {
            page.Lead("Grey shows where the run was: the stronger, the longer. The marks are the worst moments of the alerts; in a healthy engine they would lie on the dashed line.");
            using (page.Html.Open("figure", ("class", "card")))
            {
                Key(page, cloud, curve, drops);
                Plot(page, cloud, curve, drops);
            }
            if (curve.Length > 0) CurveTable(page, curve);
        });
    }

    private static void Plot(PageContext page, SpeedCloud? cloud, (double SpeedRpm, double PressureKpa)[] curve, Alert[] drops)
    {
        double mostRpm = new[]
        {
            1000, cloud is null ? 0 : CloudPlot.MostRpm(cloud), curve.Length == 0 ? 0 : curve.Max(point => point.SpeedRpm), drops.Length == 0 ? 0 : drops.Max(drop => drop.RpmAtMin!.Value),
        }.Max();
        double mostKpa = new[]
        {
            100, cloud is null ? 0 : CloudPlot.Range(cloud).High, curve.Length == 0 ? 0 : curve.Max(point => point.PressureKpa), drops.Length == 0 ? 0 : drops.Max(drop => drop.MinKpa!.Value),
        }.Max();
        page.Html.Leaf("p", $"Oil pressure, {page.Shown.PressureUnit}", ("class", "axis-title"));
        SvgPlot.Draw(page.Html, Axis.Around(0, mostRpm, 8), Axis.Around(0, page.Shown.InPressureUnit(mostKpa), 6), 340,
            $"Oil pressure against engine speed with the healthy curve; {Quantities.Plural(drops.Length, "drop")} below it. The curve and the drops are also in tables.", plot =>
            {
                if (cloud is not null) CloudPlot.Draw(plot, cloud, page.Shown.InPressureUnit);
                plot.Line(curve.Select(point => (point.SpeedRpm, page.Shown.InPressureUnit(point.PressureKpa))), "healthy");
                foreach (Alert drop in drops)
                    plot.Point(drop.RpmAtMin!.Value, page.Shown.InPressureUnit(drop.MinKpa!.Value), SeverityMark.Shape(drop.Severity), drop.Severity.Word());
            });
        page.Html.Leaf("p", "engine speed, rpm", ("class", "x-title"));
    }

    private static void Key(PageContext page, SpeedCloud? cloud, (double SpeedRpm, double PressureKpa)[] curve, Alert[] drops)
    {
        using (page.Html.Open("ul", ("class", "key")))
        {
            if (cloud is not null) Item(() => SvgPlot.AreaSign(page.Html, "area time3"), "the run");
            if (curve.Length > 0) Item(() => SvgPlot.LineSign(page.Html, "line healthy"), "healthy at the run's usual oil temperature");
            foreach (IGrouping<Severity, Alert> group in drops.GroupBy(drop => drop.Severity).OrderByDescending(group => group.Key))
                Item(() => SvgPlot.Sign(page.Html, SeverityMark.Shape(group.Key), group.Key.Word()), $"drop, {group.Key.Word()}");
        }

        void Item(Action sign, string word)
        {
            using (page.Html.Open("li"))
            {
                sign();
                page.Html.Text(word);
            }
        }
    }

    private static void CurveTable(PageContext page, (double SpeedRpm, double PressureKpa)[] curve)
    {
        (double SpeedRpm, double PressureKpa)[] shown = curve.Where(point => point.SpeedRpm % 1000 == 0).ToArray() is { Length: > 1 } round ? round : curve;
        using (page.Html.Open("details"))
        {
            page.Html.Leaf("summary", "The healthy curve as a table");
            page.Table("Healthy curve", "At the run's usual oil temperature; all points are in summary.json.", [new("engine speed, rpm", 60), new($"healthy, {page.Shown.PressureUnit}", 40)], shown.Length, table =>
            {
                foreach ((double rpm, double kpa) in shown)
                {
                    using (table.Row())
                    {
                        table.Head(Quantities.Count(rpm));
                        table.Cell(page.Shown.Pressure(kpa));
                    }
                }
            });
        }
    }
}
