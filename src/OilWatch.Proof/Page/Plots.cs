using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Page;

/// <summary>Drawings as SVG, each with a number that keeps its ids apart from another's on the page, with real text. Before is hollow and dashed, after filled and solid, so that no colour is needed to tell them apart.</summary>
internal static class Plots
{
    private const double Width = 720, Left = 210, Right = 20;
    private const int MostRows = 30;

    /// <summary>Rates of every stratum with exact limits, and of the whole with the limits behind the verdict.</summary>
    public static string Forest(ProofResult r, int number)
    {
        ProofStratum[] shown = [.. r.Strata.OrderByDescending(s => s.Events.Sum()).ThenByDescending(s => s.Exposures.Sum()).Take(MostRows)];
        double height = 60 + ((shown.Length + 1) * 30);
        var svg = new Markup();
        svg.Add($"<svg class=\"plot\" viewBox=\"0 0 {Width} {height}\" role=\"img\" aria-labelledby=\"forest-title-{number} forest-text-{number}\">");
        svg.Add($"<title id=\"forest-title-{number}\">Drops per 100 exposures, corner by corner</title>");
        svg.Add($"<desc id=\"forest-text-{number}\">{Described(r)}</desc>");
        for (int tick = 0; tick <= 100; tick += 20)
        {
            double x = Across(tick, 100);
            svg.Add($"<line class=\"axis\" x1=\"{x}\" y1=\"20\" x2=\"{x}\" y2=\"{height - 30}\"/><text x=\"{x}\" y=\"{height - 14}\" text-anchor=\"middle\">{tick}</text>");
        }
        svg.Add($"<text x=\"{Width - Right}\" y=\"14\" text-anchor=\"end\">drops per 100 exposures, 95 % limits</text>");
        svg.Add($"<circle class=\"before-dot\" cx=\"10\" cy=\"10\" r=\"4\"/><text x=\"20\" y=\"14\">{r.Before.Name}</text><rect class=\"after-fill\" x=\"{Left / 2}\" y=\"6\" width=\"8\" height=\"8\"/><text x=\"{(Left / 2) + 14}\" y=\"14\">{r.After.Name}</text>");
        double y = 38;
        foreach (ProofStratum s in shown)
        {
            svg.Add($"<text x=\"6\" y=\"{y + 4}\">{s.Label}</text>");
            Row(svg, 0, 100.0 * s.Events[0] / s.Exposures[0], ClopperPearson.Of(s.Events[0], s.Exposures[0]).Times(100), y - 5);
            Row(svg, 1, 100.0 * s.Events[1] / s.Exposures[1], ClopperPearson.Of(s.Events[1], s.Exposures[1]).Times(100), y + 5);
            y += 30;
        }
        svg.Add($"<text x=\"6\" y=\"{y + 4}\" font-weight=\"bold\">all together</text>");
        Row(svg, 0, r.Before.RatePer100!.Value, r.Before.LimitsPer100!.Value, y - 5);
        Row(svg, 1, r.After.RatePer100!.Value, r.After.LimitsPer100!.Value, y + 5);
        return svg.Raw("</svg>").ToString();
    }

    /// <summary>Share of exposures still without a drop over the time under load.</summary>
    public static string TimeToDrop(ProofResult r, int number)
    {
        const double Height = 300, Top = 30, Bottom = 45;
        KaplanMeier[] curves = [r.Before.TimeToDrop!, r.After.TimeToDrop!];
        double longest = Math.Max(0.5, curves.Max(c => c.LongestS));
        double step = longest > 8 ? 2 : longest > 3 ? 1 : 0.5;
        var svg = new Markup();
        svg.Add($"<svg class=\"plot\" viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-labelledby=\"time-title-{number} time-text-{number}\">");
        svg.Add($"<title id=\"time-title-{number}\">How long the load can be held before pressure drops</title>");
        svg.Add($"<desc id=\"time-text-{number}\">{TimeDescribed(r)}</desc>");
        for (int share = 0; share <= 100; share += 25)
        {
            double y = Up(share / 100.0);
            svg.Add($"<line class=\"axis\" x1=\"60\" y1=\"{y}\" x2=\"{Width - Right}\" y2=\"{y}\"/><text x=\"54\" y=\"{y + 4}\" text-anchor=\"end\">{share} %</text>");
        }
        for (double t = 0; t <= longest && t <= 1000; t += step) svg.Add($"<text x=\"{Along(t)}\" y=\"{Height - 26}\" text-anchor=\"middle\">{t}</text>");
        svg.Add($"<text x=\"{Width / 2}\" y=\"{Height - 8}\" text-anchor=\"middle\">seconds under sustained load</text>");
        svg.Add($"<text x=\"60\" y=\"18\">exposures still without a drop</text>");
        for (int g = 0; g < 2; g++)
        {
            var path = new System.Text.StringBuilder(FormattableString.Invariant($"M{Along(0):0.#} {Up(1):0.#}"));
            foreach (KaplanMeierStep s in curves[g].Steps) path.Append(FormattableString.Invariant($"H{Along(s.TimeS):0.#}V{Up(s.Share):0.#}"));
            path.Append(FormattableString.Invariant($"H{Along(curves[g].LongestS):0.#}"));
            double last = curves[g].Steps.IsEmpty ? 1 : curves[g].Steps[^1].Share;
            svg.Add($"<path class=\"{(g == 0 ? "before" : "after")}\" d=\"{path.ToString()}\"/>");
            svg.Add($"<text x=\"{Along(curves[g].LongestS) - 4}\" y=\"{Up(last) + (g == 0 ? 16 : -6)}\" text-anchor=\"end\">{(g == 0 ? r.Before.Name : r.After.Name)}</text>");
        }
        return svg.Raw("</svg>").ToString();

        double Along(double t) => 60 + (t / longest * (Width - 60 - Right));
        static double Up(double share) => Top + ((1 - share) * (Height - Top - Bottom));
    }

    /// <summary>How the lowest ratio of pressure to expected was spread: before above the line, after below.</summary>
    public static string Ratios(ProofResult r, int number)
    {
        const double Height = 260, Middle = 120, Tallest = 90;
        const int Bins = 26;                  // 0 to 1.3 in steps of 0.05; what lies beyond is counted in the last
        int[][] counts = [.. new[] { r.Before, r.After }.Select(g => Histogram(g.MinRatios, Bins))];
        double[] most = [.. counts.Select(c => (double)Math.Max(1, c.Sum()))];
        double top = counts.Select((c, g) => c.Max() / most[g]).Max();
        double bar = (Width - 80) / Bins;
        var svg = new Markup();
        svg.Add($"<svg class=\"plot\" viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-labelledby=\"ratio-title-{number} ratio-text-{number}\">");
        svg.Add($"<title id=\"ratio-title-{number}\">Lowest pressure of each exposure against expected</title>");
        svg.Add($"<desc id=\"ratio-text-{number}\">{RatioDescribed(r)}</desc>");
        for (int g = 0; g < 2; g++)
        {
            for (int i = 0; i < Bins; i++)
            {
                double tall = top > 0 ? counts[g][i] / most[g] / top * Tallest : 0;
                if (tall <= 0) continue;
                svg.Add($"<rect class=\"{(g == 0 ? "before-dot" : "after-fill")}\" x=\"{60 + (i * bar) + 2}\" y=\"{(g == 0 ? Middle - tall : Middle + 18)}\" width=\"{bar - 4}\" height=\"{tall}\"/>");
            }
        }
        for (int i = 0; i <= Bins; i += 4) svg.Add($"<text x=\"{60 + (i * bar)}\" y=\"{Middle + 13}\" text-anchor=\"middle\">{5 * i} %</text>");
        svg.Add($"<text x=\"6\" y=\"20\">{r.Before.Name} (hollow, upward): share of {r.Before.MinRatios.Length} exposures</text>");
        svg.Add($"<text x=\"6\" y=\"{Height - 24}\">{r.After.Name} (filled, downward): share of {r.After.MinRatios.Length} exposures</text>");
        svg.Add($"<text x=\"{Width - Right}\" y=\"{Height - 6}\" text-anchor=\"end\">lowest pressure, % of expected</text>");
        return svg.Raw("</svg>").ToString();
    }

    private static int[] Histogram(IEnumerable<double> values, int bins)
    {
        var counts = new int[bins];
        foreach (double v in values) counts[(int)Math.Clamp(Math.Floor((v / 0.05) + 1e-9), 0, bins - 1)]++;
        return counts;
    }

    private static void Row(Markup svg, int group, double rate, Limits limits, double y)
    {
        svg.Add($"<line class=\"{(group == 0 ? "before" : "after")}\" x1=\"{Across(limits.Low, 100)}\" y1=\"{y}\" x2=\"{Across(limits.High, 100)}\" y2=\"{y}\"/>");
        double x = Across(rate, 100);
        if (group == 0) svg.Add($"<circle class=\"before-dot\" cx=\"{x}\" cy=\"{y}\" r=\"4\"/>");
        else svg.Add($"<rect class=\"after-fill\" x=\"{x - 4}\" y=\"{y - 4}\" width=\"8\" height=\"8\"/>");
    }

    private static double Across(double value, double most) => Left + (value / most * (Width - Left - Right));

    private static string Described(ProofResult r) =>
        $"Hollow circles and dashed lines are {r.Before.Name}, filled squares and solid lines {r.After.Name}. All together {Words.Number(r.Before.RatePer100!.Value)} per 100 before and " +
        $"{Words.Number(r.After.RatePer100!.Value)} per 100 after. The table below has every number.";

    private static string TimeDescribed(ProofResult r) =>
        $"{Words.Whole(r.Before.TimeToDrop!.Events)} of {Words.Whole(r.Before.TimeToDrop.Trials)} exposures dropped before, {Words.Whole(r.After.TimeToDrop!.Events)} of {Words.Whole(r.After.TimeToDrop.Trials)} after.";

    private static string RatioDescribed(ProofResult r) =>
        $"Median {(r.Before.MinRatioMedian is { } b ? Words.Number(100 * b) : "not known")} % of expected before, {(r.After.MinRatioMedian is { } a ? Words.Number(100 * a) : "not known")} % after.";
}
