using OilWatch.Report.Plots;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>Draws where a quantity was over engine speed: the stronger, the longer.</summary>
internal static class CloudPlot
{
    // Shares of the time in the fullest cell from which the next shade is used.
    private static readonly double[] Shades = [0, 0.02, 0.1, 0.4];

    /// <summary>The cloud; <paramref name="inUnit"/> turns its values, in proportion, into the unit shown.</summary>
    public static void Draw(SvgPlot plot, SpeedCloud cloud, Func<double, double> inUnit)
    {
        float most = cloud.Cells.Max(cell => cell.Seconds);
        for (int shade = 0; shade < Shades.Length; shade++)
        {
            double from = Shades[shade] * most, to = shade + 1 < Shades.Length ? Shades[shade + 1] * most : double.PositiveInfinity;
            (int Column, int Row)[] cells = [.. cloud.Cells.Where(cell => cell.Seconds >= from && cell.Seconds < to).Select(cell => (cell.Column, cell.Row))];
            plot.Cells(0, cloud.StepRpm, inUnit(cloud.Floor), inUnit(cloud.Step), cells, $"time{shade + 1}");
        }
    }

    /// <summary>The highest engine speed in it, rpm.</summary>
    public static double MostRpm(SpeedCloud cloud) => (cloud.Cells.Max(cell => cell.Column) + 1) * cloud.StepRpm;

    /// <summary>The ends of its values, in its own unit.</summary>
    public static (double Low, double High) Range(SpeedCloud cloud) => (
        cloud.Floor + (cloud.Cells.Min(cell => cell.Row) * cloud.Step),
        cloud.Floor + ((cloud.Cells.Max(cell => cell.Row) + 1) * cloud.Step));
}
