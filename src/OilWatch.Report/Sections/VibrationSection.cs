using System.Globalization;
using OilWatch.Channels;
using OilWatch.Report.Plots;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>Vibration over engine speed, and, where a waveform was logged, over engine speed and frequency.</summary>
internal static class VibrationSection
{
    private const int Shades = 4;

    public static void Write(PageContext page)
    {
        SpeedCloud? cloud = page.Result.Traces.Vibration;
        VibrationMap? map = page.Result.Traces.VibrationMap;
        if (cloud is null && map is null) return;
        page.Section("vibration", "Vibration", () =>
        {
            if (cloud is not null) Level(page, cloud);
            if (map is not null) Map(page, map);
        });
    }

    private static void Level(PageContext page, SpeedCloud cloud)
    {
        page.Lead("Level over engine speed; the stronger the grey, the longer the engine ran there. Highest values by lap are in the lap table.");
        using (page.Html.Open("figure", ("class", "card")))
        {
            page.Html.Leaf("p", $"Vibration level, {page.Result.Plan.UnitOf(Role.Vibration)}", ("class", "axis-title"));
            SvgPlot.Draw(page.Html, Axis.Around(0, CloudPlot.MostRpm(cloud), 8), Axis.Around(0, CloudPlot.Range(cloud).High, 6), 260,
                "Vibration level against engine speed. Highest values by lap are in the lap table.", plot => CloudPlot.Draw(plot, cloud, level => level));
            page.Html.Leaf("p", "engine speed, rpm", ("class", "x-title"));
        }
    }

    private static void Map(PageContext page, VibrationMap map)
    {
        float most = map.LevelsG.Where(float.IsFinite).DefaultIfEmpty().Max();
        if (!(most > 0) || map.Rows <= 0) return;
        page.Lead("Level over engine speed and frequency. Each weaker shade is half the level of the one before, and blank is less than a sixteenth of the highest. The lines are orders: cycles a crank revolution.");
        int columns = map.LevelsG.Length / map.Rows;
        double topRpm = map.FromRpm + (map.StepRpm * columns), topHz = map.StepHz * map.Rows;
        using (page.Html.Open("figure", ("class", "card")))
        {
            page.Html.Leaf("p", "Frequency, Hz", ("class", "axis-title"));
            SvgPlot.Draw(page.Html, Axis.Exactly(map.FromRpm, topRpm, 8), Axis.Exactly(0, topHz), 360,
                "Vibration level over engine speed and frequency, with lines of the orders " + string.Join(", ", map.Orders.Select(Order)), plot =>
                {
                    for (int shade = 0; shade < Shades; shade++)
                    {
                        double from = most / Math.Pow(2, Shades - shade), to = shade == Shades - 1 ? double.PositiveInfinity : 2 * from;
                        plot.Cells(map.FromRpm, map.StepRpm, 0, map.StepHz,
                            [.. map.LevelsG.Select((level, at) => (Level: level, At: at)).Where(cell => cell.Level >= from && cell.Level < to).Select(cell => (cell.At / map.Rows, cell.At % map.Rows))],
                            $"time{shade + 1}");
                    }
                    foreach (double order in map.Orders) OrderLine(plot, order, map.FromRpm, topRpm, topHz);
                });
            page.Html.Leaf("p", "engine speed, rpm", ("class", "x-title"));
        }
    }

    private static void OrderLine(SvgPlot plot, double order, double fromRpm, double toRpm, double topHz)
    {
        double endRpm = Math.Min(toRpm, 60 * topHz / order);
        if (!(order > 0) || endRpm <= fromRpm) return;
        plot.Line([(fromRpm, fromRpm / 60 * order), (endRpm, endRpm / 60 * order)], "healthy");
        plot.Note(endRpm, endRpm / 60 * order, Order(order));
    }

    private static string Order(double order) => order.ToString("0.##", CultureInfo.InvariantCulture);
}
