using OilWatch.Report.Plots;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>Crankcase pressure over engine speed, where it was logged.</summary>
internal static class CrankcaseSection
{
    public static void Write(PageContext page)
    {
        if (page.Result.Traces.Crankcase is not { } cloud) return;
        page.Section("crankcase", "Crankcase pressure", () =>
        {
            page.Lead("Below the line the crankcase is under vacuum, above it under pressure. The stronger the grey, the longer the engine ran there. Means and highest values by lap are in the lap table.");
            (double low, double high) = CloudPlot.Range(cloud);
            using (page.Html.Open("figure", ("class", "card")))
            {
                page.Html.Leaf("p", $"Crankcase pressure against ambient, {page.Shown.PressureUnit}", ("class", "axis-title"));
                SvgPlot.Draw(page.Html, Axis.Around(0, CloudPlot.MostRpm(cloud), 8),
                    Axis.Around(page.Shown.InPressureUnit(Math.Min(low, -2)), page.Shown.InPressureUnit(Math.Max(high, 2)), 6), 260,
                    "Crankcase pressure against engine speed. Means and highest values by lap are in the lap table.", plot =>
                    {
                        CloudPlot.Draw(plot, cloud, page.Shown.InPressureUnit);
                        plot.Level(0, "zero");
                    });
                page.Html.Leaf("p", "engine speed, rpm", ("class", "x-title"));
            }
        });
    }
}
