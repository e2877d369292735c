using System.Globalization;
using System.Text;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Page;

/// <summary>Drawings as SVG with real text. Before is hollow and dashed, after filled and solid, so that no colour is needed to tell them apart.</summary>
/// <remarks>Places across are shares of the width, so that a drawing is as readable on a phone as on a wide screen: lines stretch, letters and marks keep their size.</remarks>
internal static class Plots
{
    private const int MostRows = 30;
    private const int Grid = 1000;                        // steps of a stretched path, either way

    /// <summary>Which mark is which group; over each drawing.</summary>
    public static void Key(Markup page, ProofResult r)
    {
        page.Raw("<ul class=\"key\"><li><svg width=\"34\" height=\"12\" aria-hidden=\"true\"><line class=\"before\" x1=\"0\" x2=\"34\" y1=\"6\" y2=\"6\"/><circle class=\"before-dot\" cx=\"17\" cy=\"6\" r=\"4\"/></svg>");
        page.Add($"<bdi>{r.Before.Name}</bdi></li>");
        page.Raw("<li><svg width=\"34\" height=\"12\" aria-hidden=\"true\"><line class=\"after\" x1=\"0\" x2=\"34\" y1=\"6\" y2=\"6\"/><rect class=\"after-fill\" x=\"13\" y=\"2\" width=\"8\" height=\"8\"/></svg>");
        page.Add($"<bdi>{r.After.Name}</bdi></li></ul>");
    }

    /// <summary>Rates of the whole with the limits behind the verdict, and of the strata with drops with exact limits.</summary>
    public static string Forest(ProofResult r, out int notDrawn)
    {
        const int Row = 46, Top = 8, Bottom = 24;
        ProofStratum[] shown = [.. r.Strata.Where(s => s.Events.Sum() > 0).OrderByDescending(s => s.Events.Sum()).ThenByDescending(s => s.Exposures.Sum()).Take(MostRows)];
        notDrawn = r.Strata.Length - shown.Length;
        int height = Top + ((shown.Length + 1) * Row) + Bottom;
        var svg = new Markup();
        svg.Add($"<div class=\"plot\"><svg width=\"100%\" height=\"{height}\" role=\"img\" aria-label=\"{Described(r)}\">");
        for (int tick = 0; tick <= 100; tick += 20)
            svg.Add($"<line class=\"axis\" x1=\"{tick}%\" y1=\"0\" x2=\"{tick}%\" y2=\"{height - Bottom}\"/><text class=\"middle\" x=\"{tick}%\" y=\"{height - 6}\">{tick}</text>");
        int y = Top;
        DrawRow("all together", true, r.Before.RatePer100!.Value, r.Before.LimitsPer100!.Value, r.After.RatePer100!.Value, r.After.LimitsPer100!.Value);
        svg.Add($"<line class=\"line\" x1=\"0\" x2=\"100%\" y1=\"{y - 4}\" y2=\"{y - 4}\"/>");
        foreach (ProofStratum s in shown)
        {
            DrawRow(s.Label, false, 100.0 * s.Events[0] / s.Exposures[0], ClopperPearson.Of(s.Events[0], s.Exposures[0]).Times(100),
                100.0 * s.Events[1] / s.Exposures[1], ClopperPearson.Of(s.Events[1], s.Exposures[1]).Times(100));
        }
        return svg.Raw("</svg></div>").ToString();

        void DrawRow(string name, bool bold, double before, Limits beforeLimits, double after, Limits afterLimits)
        {
            svg.Add($"<text class=\"{(bold ? "name bold" : "name")}\" x=\"0\" y=\"{y + 12}\">{name}</text>");
            svg.Add($"<line class=\"before\" x1=\"{beforeLimits.Low}%\" y1=\"{y + 22}\" x2=\"{beforeLimits.High}%\" y2=\"{y + 22}\"/><circle class=\"before-dot\" cx=\"{before}%\" cy=\"{y + 22}\" r=\"4\"/>");
            svg.Add($"<line class=\"after\" x1=\"{afterLimits.Low}%\" y1=\"{y + 33}\" x2=\"{afterLimits.High}%\" y2=\"{y + 33}\"/><svg x=\"{after}%\" y=\"{y + 33}\" class=\"at\"><rect class=\"after-fill\" x=\"-4\" y=\"-4\" width=\"8\" height=\"8\"/></svg>");
            y += Row;
        }
    }

    /// <summary>Share of exposures still without a drop over the time under load.</summary>
    public static string TimeToDrop(ProofResult r)
    {
        const int Height = 260;
        KaplanMeier[] curves = [r.Before.TimeToDrop!, r.After.TimeToDrop!];
        double longest = Math.Max(0.5, curves.Max(c => c.LongestS));
        double step = longest > 8 ? 2 : longest > 3 ? 1 : 0.5;
        var svg = new Markup();
        svg.Add($"<div class=\"plot left\"><svg width=\"100%\" height=\"{Height + 20}\" role=\"img\" aria-label=\"{TimeDescribed(r)}\">");
        for (int share = 0; share <= 100; share += 25)
        {
            double y = Height - (share * Height / 100.0);
            svg.Add($"<line class=\"axis\" x1=\"0\" y1=\"{y}\" x2=\"100%\" y2=\"{y}\"/><text class=\"end\" x=\"-6\" y=\"{y + 4}\">{share} %</text>");
        }
        int place = 0;
        for (double t = 0; t <= longest && t <= 1000; t += step, place++)
            svg.Add($"<text class=\"{(longest / step > 8 && place % 2 == 1 ? "middle spare" : "middle")}\" x=\"{100 * t / longest}%\" y=\"{Height + 16}\">{t}</text>");
        svg.Add($"<svg width=\"100%\" height=\"{Height}\" viewBox=\"0 0 {Grid} {Grid}\" preserveAspectRatio=\"none\">");
        for (int g = 0; g < 2; g++)
        {
            var path = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"M0 0"));
            foreach (KaplanMeierStep s in curves[g].Steps) path.Append(string.Create(CultureInfo.InvariantCulture, $"H{s.TimeS / longest * Grid:0.#}V{(1 - s.Share) * Grid:0.#}"));
            path.Append(string.Create(CultureInfo.InvariantCulture, $"H{curves[g].LongestS / longest * Grid:0.#}"));
            svg.Add($"<path class=\"{(g == 0 ? "before" : "after")}\" d=\"{path.ToString()}\"/>");
        }
        return svg.Raw("</svg></svg></div>").ToString();
    }

    /// <summary>How the lowest ratio of pressure to expected was spread: before above the line, after below.</summary>
    public static string Ratios(ProofResult r)
    {
        const int Tallest = 90, Middle = Tallest + 4, Height = (2 * Tallest) + 26;
        const int Bins = 26;                  // 0 to 1.3 in steps of 0.05; what lies beyond is counted in the last
        int[][] counts = [.. new[] { r.Before, r.After }.Select(g => Histogram(g.MinRatios, Bins))];
        double[] most = [.. counts.Select(c => (double)Math.Max(1, c.Sum()))];
        double top = counts.Select((c, g) => c.Max() / most[g]).Max();
        const double Bar = 100.0 / Bins;
        var svg = new Markup();
        svg.Add($"<div class=\"plot\"><svg width=\"100%\" height=\"{Height}\" role=\"img\" aria-label=\"{RatioDescribed(r)}\">");
        for (int g = 0; g < 2; g++)
        {
            for (int i = 0; i < Bins; i++)
            {
                double tall = top > 0 ? counts[g][i] / most[g] / top * Tallest : 0;
                if (tall <= 0) continue;
                svg.Add($"<rect class=\"{(g == 0 ? "before-dot" : "after-fill")}\" x=\"{(i * Bar) + 0.4}%\" y=\"{(g == 0 ? Middle - tall : Middle + 18)}\" width=\"{Bar - 0.8}%\" height=\"{tall}\"/>");
            }
        }
        for (int i = 0; i <= Bins; i += 4)
            svg.Add($"<text class=\"{(i % 8 == 0 ? "middle" : "middle spare")}\" x=\"{i * Bar}%\" y=\"{Middle + 13}\">{5 * i} %</text>");
        return svg.Raw("</svg></div>").ToString();
    }

    private static int[] Histogram(IEnumerable<double> values, int bins)
    {
        var counts = new int[bins];
        foreach (double v in values) counts[(int)Math.Clamp(Math.Floor((v / 0.05) + 1e-9), 0, bins - 1)]++;
        return counts;
    }

    private static string Described(ProofResult r) =>
        $"Drops per 100 exposures with 95 % limits, all together and corner by corner. All together {Words.Number(r.Before.RatePer100!.Value)} per 100 in {r.Before.Name} and " +
        $"{Words.Number(r.After.RatePer100!.Value)} per 100 in {r.After.Name}. The table below has every number.";

    private static string TimeDescribed(ProofResult r) =>
        $"Share of exposures without a drop over the seconds under load. {Words.Whole(r.Before.TimeToDrop!.Events)} of {Words.Whole(r.Before.TimeToDrop.Trials)} exposures dropped in {r.Before.Name}, " +
        $"{Words.Whole(r.After.TimeToDrop!.Events)} of {Words.Whole(r.After.TimeToDrop.Trials)} in {r.After.Name}. The table below has the numbers.";

    private static string RatioDescribed(ProofResult r) =>
        $"How the lowest pressure of each exposure was spread, as a share of expected. Median {Share(r.Before.MinRatioMedian)} of expected in {r.Before.Name}, {Share(r.After.MinRatioMedian)} in {r.After.Name}.";

    private static string Share(double? ratio) => ratio is { } known ? Words.Number(100 * known) + " %" : "not known";
}
