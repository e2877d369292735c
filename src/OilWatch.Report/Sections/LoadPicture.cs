using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Report.Plots;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>Load against the time until pressure began to fall, with the boundary.</summary>
internal static class LoadPicture
{
    private const int MostMarks = 2000;
    private const double Grid = 250;                       // marks on one spot of so fine a grid are drawn once

    public static void Write(PageContext page)
    {
        CornerPass[] trials = [.. page.Result.CornerPasses.Where(HoldLimits.Counts)];
        if (trials.Length == 0) return;
        HoldLimit[] limits = [.. HoldLimits.Of(page.Result)];
        page.Section("load", "How long pressure holds under load", () =>
        {
            page.Lead("Each mark is one pass through a corner. Full: pressure began to fall after so many seconds of load. Empty: the corner was over and pressure still held.");
            Sentences(page, limits);
            using (page.Html.Open("figure", ("class", "card")))
            {
                Key(page, trials, limits);
                Plot(page, trials, limits);
            }
            Table(page, limits);
        });
    }

    private static void Sentences(PageContext page, HoldLimit[] limits)
    {
        HoldLimit[] sure = [.. limits.Where(limit => limit.Enough)];
        if (sure.Length == 0)
        {
            bool drops = limits.Any(limit => limit.Drops > 0);
            page.Lead(drops ? "There are too few passes to say for how long pressure holds at which load." : "Pressure held in every pass that could be judged; how much longer it would have held is not known.");
            return;
        }
        using (page.Html.Open("ul", ("class", "plain lead")))
        {
            foreach (HoldLimit limit in sure)
                page.Html.Leaf("li", $"At {Band(limit)} to the {limit.Direction.Word()} you have about {Quantities.Number(limit.TenthS, 1)} s: by then pressure had begun to fall in one pass of ten ({limit.Drops} drops in {limit.Passes} passes).");
        }
    }

    private static string Band(HoldLimit limit) => $"{Quantities.Number(limit.FromG, 1)} to {Quantities.Number(limit.ToG, 1)} g";

    private static void Plot(PageContext page, CornerPass[] trials, HoldLimit[] limits)
    {
        Axis across = Axis.Around(Math.Min(0.4, trials.Min(pass => pass.PeakLateralG!.Value)), Math.Max(1, trials.Max(pass => pass.PeakLateralG!.Value)), 7);
        Axis up = Axis.Around(0, Math.Max(1, trials.Max(HoldLimits.TrialS)), 6);
        CornerPass[] shown =
        [
            .. trials.OrderByDescending(pass => pass.TimeToDropS is not null).ThenBy(pass => pass.Entry)
                .DistinctBy(pass => (pass.Direction, pass.TimeToDropS is null, (int)(across.Share(pass.PeakLateralG!.Value) * Grid), (int)(up.Share(HoldLimits.TrialS(pass)) * Grid)))
                .Take(MostMarks).Reverse(),
        ];
        page.Html.Leaf("p", "Seconds of sustained load", ("class", "axis-title"));
        SvgPlot.Draw(page.Html, across, up, 320, "Seconds of sustained load against lateral acceleration for each pass through a corner, with the boundary of one pass in ten. The boundary is also in the table below.", plot =>
        {
            foreach (CornerPass pass in shown)
            {
                bool left = pass.Direction == LoadDirection.Left, fell = pass.TimeToDropS is not null;
                plot.Point(pass.PeakLateralG!.Value, HoldLimits.TrialS(pass), left ? fell ? Mark.LeftFull : Mark.LeftEmpty : fell ? Mark.RightFull : Mark.RightEmpty, left ? "left" : "right");
            }
            foreach (HoldLimit limit in limits.Where(limit => limit.Enough))
                plot.Line([(limit.FromG, limit.TenthS!.Value), (limit.ToG, limit.TenthS.Value)], limit.Direction == LoadDirection.Left ? "bound left" : "bound right");
        });
        page.Html.Leaf("p", "highest sustained lateral load, g", ("class", "x-title"));
    }

    private static void Key(PageContext page, CornerPass[] trials, HoldLimit[] limits)
    {
        using (page.Html.Open("ul", ("class", "key")))
        {
            foreach ((bool left, string side) in ((bool, string)[])[(true, "left"), (false, "right")])
            {
                if (Any(left, fell: true)) Item(() => SvgPlot.Sign(page.Html, left ? Mark.LeftFull : Mark.RightFull, side), side + ", fell");
                if (Any(left, fell: false)) Item(() => SvgPlot.Sign(page.Html, left ? Mark.LeftEmpty : Mark.RightEmpty, side), side + ", held");
                if (limits.Any(limit => limit.Enough && (limit.Direction == LoadDirection.Left) == left)) Item(() => SvgPlot.LineSign(page.Html, "line bound " + side), "boundary to the " + side);
            }
        }

        bool Any(bool left, bool fell) => trials.Any(pass => (pass.Direction == LoadDirection.Left) == left && pass.TimeToDropS is not null == fell);

        void Item(Action sign, string word)
        {
            using (page.Html.Open("li"))
            {
                sign();
                page.Html.Text(word);
            }
        }
    }

    private static void Table(PageContext page, HoldLimit[] limits) => page.Table(
        "Boundary by load", $"The boundary is drawn and said in words from {HoldLimit.EnoughPasses} passes and {HoldLimit.EnoughDrops} drops on; empty where pressure never fell in one pass of ten.",
        [new("which way", 22, Words: true), new("load", 38, Words: true), new("passes", 20), new("fell", 20), new("fell in one of ten by, s"), new("enough to say so", Words: true)],
        limits.Length,
        table =>
        {
            foreach (HoldLimit limit in limits)
            {
                using (table.Row())
                {
                    table.Head(limit.Direction.Word() ?? "");
                    table.Cell(Band(limit));
                    table.Cell(Quantities.Count(limit.Passes));
                    table.Cell(Quantities.Count(limit.Drops));
                    table.Cell(Quantities.Number(limit.TenthS, 1));
                    table.Cell(limit.Enough ? "yes" : "no");
                }
            }
        });
}
