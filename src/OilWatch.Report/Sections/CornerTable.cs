using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Report.Markup;
using OilWatch.Report.Plots;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>Corners ranked by the harm they did.</summary>
internal static class CornerTable
{
    private const int MostCorners = 60;

    public static void Write(PageContext page) => page.Section("corners", "Corners, most harm first", () =>
    {
        SessionResult result = page.Result;
        if (result.WorstCorners.IsEmpty) page.Lead("No oil starvation was found in a known corner.");
        else Harm(page);
        Others(page);
    });

    private static void Harm(PageContext page)
    {
        SessionResult result = page.Result;
        double most = result.WorstCorners.Max(corner => corner.DeficitKpaS);
        string caption = "Harm is the missing pressure added up over the time it was missing. In a label, L is a left-hand and R a right-hand corner.";
        page.Table("Corners, most harm first", caption,
            [
                new("rank"), new("corner", 18, Words: true), new("which way", 22, Words: true), new($"harm, {page.Shown.PressureUnit} times s", 38, Words: true),
                new("starved", 22), new("seconds", Tail: "s"), new("revolutions", Tail: "rev"),
                new($"lowest, {page.Shown.PressureUnit}", Tail: page.Shown.PressureUnit + " lowest"), new("of healthy", Tail: "of healthy"), new("load before, s", Tail: "s load before"),
            ],
            Math.Min(result.WorstCorners.Length, MostCorners),
            table =>
            {
                foreach ((int place, CornerHarm corner) in result.WorstCorners.Take(MostCorners).Index())
                {
                    using (table.Row())
                    {
                        table.Cell((place + 1).ToString(CultureInfo.InvariantCulture));
                        table.Head(corner.Corner);
                        using (table.Open())
                        {
                            bool left = corner.Direction == LoadDirection.Left;
                            SvgPlot.Sign(page.Html, left ? Mark.LeftFull : Mark.RightFull, left ? "left" : "right");
                            page.Html.Text(" " + corner.Direction.Word());
                        }
                        using (table.Open())
                        using (page.Html.Open("div", ("class", "barred")))
                        {
                            SvgPlot.Bar(page.Html, most > 0 ? corner.DeficitKpaS / most : 0, "bar");
                            page.Html.Text(Quantities.Number(page.Shown.InPressureUnit(corner.DeficitKpaS), 0));
                        }
                        table.Cell($"{Quantities.Count(corner.Starved)} of {Quantities.Count(corner.Passes)}");
                        table.Cell(Quantities.Number(corner.StarvationS, 1));
                        table.Cell(Quantities.Count(corner.StarvationRevolutions));
                        table.Cell(page.Shown.Pressure(corner.MinKpa));
                        table.Cell(Quantities.Percent(corner.MinRatio));
                        table.Cell(Quantities.Number(corner.MedianTimeToDropS, 1));
                    }
                }
            });
    }

    /// <summary>Corners that held and corners that could not be judged are not the same.</summary>
    private static void Others(PageContext page)
    {
        SessionResult result = page.Result;
        HashSet<string> harmed = [.. result.WorstCorners.Select(corner => corner.Corner)];
        ILookup<string, CornerPass> passes = result.CornerPasses.Where(pass => pass.Corner is not null).ToLookup(pass => pass.Corner!, StringComparer.Ordinal);
        string[] rest = [.. result.Corners.Select(corner => corner.Label).Where(label => !harmed.Contains(label))];
        string[] held = [.. rest.Where(label => passes[label].Any(pass => pass.Starved == false))];
        string[] unknown = [.. rest.Except(held, StringComparer.Ordinal)];
        if (held.Length > 0) page.Html.Leaf("p", $"Judged, and no starvation found: {string.Join(", ", held.Take(MostCorners))}.", ("class", "soft"));
        if (unknown.Length > 0) page.Html.Leaf("p", $"Could not be judged: {string.Join(", ", unknown.Take(MostCorners))}.", ("class", "soft"));
    }
}
