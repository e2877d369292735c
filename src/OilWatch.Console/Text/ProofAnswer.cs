using System.Globalization;
using OilWatch.Proof;

namespace OilWatch.Console.Text;

/// <summary>What the data prove, for people.</summary>
internal static class ProofAnswer
{
    private const int MostReasons = 8;

    /// <summary>The answer for one comparison.</summary>
    public static string Of(ProofResult result, bool colour)
    {
        var page = new Page(colour);
        Tone tone = result.Verdict switch
        {
            ProofVerdict.Fixed or ProofVerdict.Improved => Tone.Good,
            ProofVerdict.Worse => Tone.Warning,
            _ => Tone.Caution,
        };
        page.Rule();
        page.Line(tone, result.Verdict.Word().ToUpperInvariant(), $"  {result.Before.Name} against {result.After.Name}");
        page.Wrapped(result.Headline);
        page.Rule();
        page.Blank();
        page.Line("                        comparable loads  starved  per 100   95 % limits");
        Group(page, result.Before);
        Group(page, result.After);
        page.Blank();
        if (result.RateRatio is { } ratio)
        {
            string limits = result.RateRatioLimits is { } l ? string.Create(CultureInfo.InvariantCulture, $", 95 % limits {l.Low:G3} to {l.High:G3}") : "";
            page.Wrapped(string.Create(CultureInfo.InvariantCulture, $"Rate after, as a ratio of before: {ratio:G3}{limits}."));
        }
        if (result.PValue is { } p) page.Wrapped($"Such a ratio would come by chance with p {(p < 0.001 ? "below 0.001" : string.Create(CultureInfo.InvariantCulture, $"= {p:G2}"))}.");
        if (result.AfterUpperBoundPer100 is { } bound)
            page.Wrapped(string.Create(CultureInfo.InvariantCulture, $"It could still happen up to {bound:G3} times in 100 such loads (95 %)."));
        page.Wrapped(result.Needed.Sentence);
        page.Blank();
        page.Line("Why");
        page.Bullets(result.Reasons, MostReasons, ", in proof.json");
        page.Blank();
        return page.ToString();
    }

    private static void Group(Page page, GroupOutcome group)
    {
        string limits = group.LimitsPer100 is { } l ? string.Create(CultureInfo.InvariantCulture, $"{l.Low:F1} to {l.High:F1}") : "";
        string rate = group.RatePer100 is { } r ? string.Create(CultureInfo.InvariantCulture, $"{r:F1}") : "";
        page.Line(string.Create(CultureInfo.InvariantCulture, $"  {PlainText.Fit(PlainText.Clean(group.Name), 20),-20}  {group.Exposures,16}  {group.Events,7}  {rate,7}   {limits}"));
    }
}
