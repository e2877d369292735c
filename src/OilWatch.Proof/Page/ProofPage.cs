using System.Text;
using OilWatch.Alerts;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Page;

/// <summary>Writes <c>proof.html</c>: one file, no script, no network, for screen, phone and A4.</summary>
public static class ProofPage
{
    /// <summary>Writes one comparison.</summary>
    /// <param name="to">Left open.</param>
    /// <param name="result">What to show.</param>
    public static void Write(Stream to, ProofResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        var page = Begin($"Proof: {result.Verdict.Word()}");
        Body(page, result, "h1");
        End(to, page);
    }

    /// <summary>Writes several groups against the first, a part each.</summary>
    /// <param name="to">Left open.</param>
    /// <param name="comparison">What to show.</param>
    public static void Write(Stream to, ProofComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        var page = Begin("Proof: several groups");
        page.Raw("<div class=\"wide\"><h1 class=\"several\">Several groups against the first</h1>");
        if (comparison.Overall is { } overall)
            page.Add($"<p>Time to the drop, all groups at once: log-rank statistic {Words.Number(overall.ChiSquare)} on {overall.DegreesOfFreedom} degrees of freedom, p {Words.P(overall.PValue)}, were every exposure independent.</p>");
        Table(page, "Each group against the first. With several comparisons the p to go by is the raised one.", "group", "verdict", "p", "p, raised for several tries (Holm)");
        foreach ((ProofResult pair, double? holm) in comparison.Pairs.Zip(comparison.HolmPValues))
            page.Add($"<tr><th scope=\"row\"><bdi>{pair.After.Name}</bdi></th><td>{pair.Verdict.Word()}</td><td>{(pair.PValue is { } p ? Words.P(p) : "-")}</td><td>{(holm is { } h ? Words.P(h) : "-")}</td></tr>");
        page.Raw("</tbody></table></div></div>");
        for (int i = 0; i < comparison.Pairs.Length; i++)
        {
            Body(page, comparison.Pairs[i], "h2");
        }
        End(to, page);
    }

    private static Markup Begin(string title)
    {
        var page = new Markup();
        page.Add($"<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<title>{title}</title>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>");
        // Nothing is fetched and nothing runs, whatever a name in a log may hold.
        page.Raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'\"/>");
        page.Raw("<meta name=\"color-scheme\" content=\"light dark\"/>\n<link rel=\"icon\" href=\"data:,\"/>");
        return page.Raw("<style>").Raw(Style.Css).Raw("</style>\n</head>\n<body>\n<main>");
    }

    private static void End(Stream to, Markup page)
    {
        ArgumentNullException.ThrowIfNull(to);
        page.Raw("</main>\n<footer>\n<h2>Cautions</h2>\n<ul>");
        foreach (string caution in Cautions.All) page.Add($"<li>{caution}</li>");
        page.Raw("</ul>\n</footer>\n</body>\n</html>");
        to.Write(Encoding.UTF8.GetBytes(page.ToString()));
    }

    private static void Body(Markup page, ProofResult r, string heading)
    {
        page.Add($"<div class=\"verdict {Ground(r.Verdict)}\"><div class=\"wide\"><p><bdi>{r.After.Name}</bdi> against <bdi>{r.Before.Name}</bdi></p>");
        page.Raw($"<{heading}>{Shape(r.Verdict)}").Add($"<span>{r.Verdict.Word().Replace('-', ' ').ToUpperInvariant()}</span>").Raw($"</{heading}>");
        page.Add($"<p class=\"headline\">{r.Headline}</p></div></div>");
        page.Raw("<div class=\"wide\">");
        Facts(page, r);
        List(page, "Why", r.Reasons);
        List(page, "What would change the verdict", r.WouldChange);
        Numbers(page, r);
        if (r.Verdict != ProofVerdict.NotComparable)
        {
            page.Raw("<section><h2>Corner by corner</h2><div class=\"card\">");
            Plots.Key(page, r);
            page.Raw("<p class=\"axis-title end\">drops per 100 exposures, with 95 % limits</p>").Raw(Plots.Forest(r, out int left)).Raw("</div>");
            if (left > 0) page.Add($"<p class=\"soft\">Not drawn: {Words.Count(left, "corner and load band")} without a drop in either group; all are in the table.</p>");
            Strata(page, r);
            page.Raw("</section><section><h2>How long the load can be held</h2><div class=\"card\">");
            Plots.Key(page, r);
            page.Raw("<p class=\"axis-title\">exposures still without a drop</p>").Raw(Plots.TimeToDrop(r)).Raw("<p class=\"axis-title end\">seconds under sustained load</p></div>");
            Curves(page, r);
            page.Raw("</section><section><h2>How deep pressure fell</h2>");
            if (r.Before.MinRatios.IsEmpty && r.After.MinRatios.IsEmpty)
            {
                page.Raw("<p>The ratio of pressure to expected is not known.</p>");
            }
            else
            {
                page.Add($"<div class=\"card\"><p class=\"axis-title\"><bdi>{r.Before.Name}</bdi>, hollow, upward: share of {r.Before.MinRatios.Length} exposures</p>").Raw(Plots.Ratios(r));
                page.Add($"<p class=\"axis-title\"><bdi>{r.After.Name}</bdi>, filled, downward: share of {r.After.MinRatios.Length} exposures</p><p class=\"axis-title end\">lowest pressure, % of expected</p></div>");
            }
            Depth(page, r);
            page.Raw("</section>");
        }
        Conditions(page, r);
        page.Raw("</div>");
    }

    private static string Ground(ProofVerdict verdict) => verdict switch
    {
        ProofVerdict.Fixed => "good",
        ProofVerdict.Improved => "part",
        ProofVerdict.Worse => "bad",
        _ => "open",
    };

    /// <summary>What is looked for first.</summary>
    private static void Facts(Markup page, ProofResult r)
    {
        page.Raw("<dl class=\"facts\">");
        if (r.Verdict != ProofVerdict.NotComparable)
        {
            Rate("Before", r.Before);
            Rate("After", r.After);
            if (r.AfterUpperBoundPer100 is { } bound && r.Before.Events > 0)
                Fact("It could still happen", $"at most {Words.Number(bound)} times in 100 (95 %)", r.AfterBoundWantedPer100 is { } wanted ? $"fixed asks for less than {Words.Number(wanted)}, and for none seen" : "");
            if (r.PValue is { } p) Fact("Chance alone", p < 0.05 ? $"would do that rarely: p {Words.P(p)}" : $"could do that: p {Words.P(p)}", "laps and sessions respected");
        }
        Fact("What more would settle it", r.Needed.Sentence, "");
        page.Raw("</dl>");

        void Rate(string when, GroupOutcome g) => Fact(
            when, $"pressure lost in {Words.Whole(g.Events)} of {Words.Whole(g.Exposures)}",
            $"{Words.Number(g.RatePer100!.Value)} per 100 comparable loads, in {Words.Count(g.Sessions, "session")}, {Words.Count(g.Laps, "lap")}");

        void Fact(string name, string fact, string more)
        {
            page.Add($"<div><dt>{name}</dt><dd>{First(fact)}");
            if (more.Length > 0) page.Add($"<span>{more}</span>");
            page.Raw("</dd></div>");
        }
    }

    private static string First(string text) => char.ToUpperInvariant(text[0]).ToString() + text[1..];

    private static void Table(Markup page, string caption, params ReadOnlySpan<string> heads)
    {
        page.Add($"<div class=\"scroll\" role=\"group\" tabindex=\"0\" aria-label=\"{caption}\"><table><caption>{caption}</caption><thead><tr>");
        foreach (string head in heads) page.Add($"<th scope=\"col\">{head}</th>");
        page.Raw("</tr></thead><tbody>");
    }

    private static string Shape(ProofVerdict verdict) => verdict switch
    {
        ProofVerdict.Fixed => Mark("<circle cx=\"16\" cy=\"16\" r=\"13\"/><path d=\"M9 16l5 6 9-12\"/>"),
        ProofVerdict.Improved => Mark("<path d=\"M16 4L29 27H3Z\"/>"),
        ProofVerdict.Worse => Mark("<path d=\"M16 28L3 5H29Z\"/><path d=\"M16 11v8\"/>"),
        ProofVerdict.NoChangeShown => Mark("<rect x=\"4\" y=\"4\" width=\"24\" height=\"24\"/><path d=\"M10 16h12\"/>"),
        _ => Mark("<path d=\"M16 3L29 16 16 29 3 16Z\"/><path d=\"M11 21L21 11\"/>"),
    };

    private static string Mark(string inner) => $"<svg class=\"mark\" viewBox=\"0 0 32 32\" aria-hidden=\"true\"><g class=\"shape\">{inner}</g></svg>";

    private static void List(Markup page, string title, IEnumerable<string> sentences)
    {
        page.Add($"<section><h2>{title}</h2><ul>");
        foreach (string sentence in sentences) page.Add($"<li>{sentence}</li>");
        page.Raw("</ul></section>");
    }

    private static void Numbers(Markup page, ProofResult r)
    {
        page.Raw("<section><h2>The numbers</h2>");
        Table(page, "Exposures are stretches of sustained load in the region that both groups cover.", "count", r.Before.Name, r.After.Name);
        Row("sessions", g => Words.Whole(g.Sessions));
        Row("laps with comparable exposures", g => Words.Whole(g.Laps));
        Row("exposures judged in all", g => Words.Whole(g.Judged));
        Row("comparable exposures", g => Words.Whole(g.Exposures));
        Row("drops among them", g => Words.Whole(g.Events));
        Row("drops elsewhere", g => Words.Whole(g.EventsOutside));
        Row("exposures that could not be judged", g => Words.Whole(g.NotJudged));
        if (r.Verdict != ProofVerdict.NotComparable)
        {
            Row("drops per 100 exposures", g => Words.Number(g.RatePer100!.Value));
            Row("95 % limits, laps and sessions respected", g => Words.Limits(g.LimitsPer100!.Value));
            Row("95 % limits, exact, were all independent", g => Words.Limits(g.ExactLimitsPer100!.Value));
        }
        page.Raw("</tbody></table></div>");
        if (r.RateRatio is { } ratio)
        {
            page.Add($"<p>Rate after against before, at like corners and loads: {Words.Number(ratio)} times (95 % limits {Words.Limits(r.RateRatioLimits!.Value)}, p {Words.P(r.PValue!.Value)}). Were every exposure independent: exact limits {Words.Limits(r.Exact!.Limits)}, p {Words.P(r.Exact.TwoSided)}.</p>");
        }
        if (r.AfterUpperBoundPer100 is { } bound) page.Add($"<p>95 % upper bound after: {Words.Number(bound)} per 100 exposures.</p>");
        page.Raw("</section>");

        void Row(string what, Func<GroupOutcome, string> value) => page.Add($"<tr><th scope=\"row\">{what}</th><td>{value(r.Before)}</td><td>{value(r.After)}</td></tr>");
    }

    private static void Strata(Markup page, ProofResult r)
    {
        Table(page, "Drops of exposures, in each corner and load band", "corner and load", r.Before.Name, "95 % limits per 100", r.After.Name, "95 % limits per 100");
        foreach (ProofStratum s in r.Strata)
        {
            page.Add($"<tr><th scope=\"row\">{s.Label}</th><td>{s.Events[0]} of {s.Exposures[0]}</td><td>{Words.Limits(ClopperPearson.Of(s.Events[0], s.Exposures[0]).Times(100))}</td><td>{s.Events[1]} of {s.Exposures[1]}</td><td>{Words.Limits(ClopperPearson.Of(s.Events[1], s.Exposures[1]).Times(100))}</td></tr>");
        }
        page.Raw("</tbody></table></div>");
    }

    private static void Curves(Markup page, ProofResult r)
    {
        if (r.LogRank is { } test)
        {
            page.Add($"<p>The curves differ with log-rank statistic {Words.Number(test.ChiSquare)}: p {Words.P(test.PValue)} were every exposure independent, {Words.P(r.LogRankClusteredPValue ?? 1)} with laps and sessions respected. A corner left before any drop says only that the load was survived for as long as it was held.</p>");
        }
        Table(page, "Share of exposures still without a drop, with 95 % limits were all independent", "seconds under load", r.Before.Name, r.After.Name);
        double longest = Math.Min(60, Math.Max(r.Before.TimeToDrop!.LongestS, r.After.TimeToDrop!.LongestS));
        for (double t = 0.5; t <= longest; t += longest > 6 ? 1 : 0.5)
            page.Add($"<tr><th scope=\"row\">{t}</th><td>{ShareAt(r.Before.TimeToDrop, t)}</td><td>{ShareAt(r.After.TimeToDrop, t)}</td></tr>");
        page.Raw("</tbody></table></div>");
    }

    private static string ShareAt(KaplanMeier curve, double timeS)
    {
        if (timeS > curve.LongestS) return "not watched so long";
        KaplanMeierStep? step = curve.Steps.LastOrDefault(s => s.TimeS <= timeS);
        return step is null ? "100 %" : $"{Words.Fixed(100 * step.Share, 0)} % ({Words.Fixed(100 * step.Limits.Low, 0)} to {Words.Fixed(100 * step.Limits.High, 0)})";
    }

    private static void Depth(Markup page, ProofResult r)
    {
        Table(page, "Lowest pressure of each exposure, share of expected", "lowest pressure", r.Before.Name, r.After.Name);
        page.Add($"<tr><th scope=\"row\">median</th><td>{Ratio(r.Before.MinRatioMedian)}</td><td>{Ratio(r.After.MinRatioMedian)}</td></tr>");
        page.Add($"<tr><th scope=\"row\">95 % limits of the median</th><td>{Ratios(r.Before.MinRatioMedianLimits)}</td><td>{Ratios(r.After.MinRatioMedianLimits)}</td></tr>");
        page.Add($"<tr><th scope=\"row\">worst</th><td>{Ratio(r.Before.MinRatios.IsEmpty ? null : r.Before.MinRatios[0])}</td><td>{Ratio(r.After.MinRatios.IsEmpty ? null : r.After.MinRatios[0])}</td></tr>");
        page.Raw("</tbody></table></div>");
        if (r.Depth is { } depth)
            page.Add($"<p>The median moved by {Words.Number(depth.MedianChange)} (95 % limits {Words.Limits(depth.Limits)}, whole laps resampled).</p>");
    }

    private static string Ratio(double? value) => value is { } v ? Words.Fixed(v, 2) : "not known";

    private static string Ratios(Limits? limits) => limits is { } l ? $"{Words.Fixed(l.Low, 2)} to {Words.Fixed(l.High, 2)}" : "not known";

    private static void Conditions(Markup page, ProofResult r)
    {
        page.Raw("<section><h2>What was compared</h2>");
        Table(page, "Conditions of all judged exposures", "condition", r.Before.Name, r.After.Name, "matched");
        foreach ((AxisCover cover, MatchAxis axis) in r.Conditions.Zip(MatchAxis.All))
            page.Add($"<tr><th scope=\"row\">{cover.Name}, {cover.Unit}</th><td>{Range(cover.Ranges[0], axis)}</td><td>{Range(cover.Ranges[1], axis)}</td><td>{(cover.Matched ? "yes" : "no: not known in both")}</td></tr>");
        page.Raw("</tbody></table></div>");
        if (!r.LeftOut.IsEmpty)
        {
            Table(page, "Exposures left out", "because of", r.Before.Name, r.After.Name);
            foreach (LeftOut left in r.LeftOut) page.Add($"<tr><th scope=\"row\">{left.Why}</th><td>{left.Exposures[0]}</td><td>{left.Exposures[1]}</td></tr>");
            page.Raw("</tbody></table></div>");
        }
        page.Raw("</section>");
    }

    private static string Range((double Low, double High)? range, MatchAxis axis) =>
        range is { } r ? $"{Words.Fixed(r.Low, axis.Digits)} to {Words.Fixed(r.High, axis.Digits)}" : "not known";
}
