using System.Collections.Immutable;

namespace OilWatch.Proof;

/// <summary>Turns measurements into a verdict and plain sentences.</summary>
internal static class Reasoning
{
    public static ProofResult NotComparable(ProofResult draft, List<string> obstacles, List<string> notes, ProofOptions options) => draft with
    {
        Verdict = ProofVerdict.NotComparable,
        Headline = $"Not comparable, so no number: {LowerFirst(obstacles[0])}",
        Needed = Power.FromScratch(draft.Before, draft.After, options),
        Reasons = [.. obstacles, .. Shared(draft, notes)],
        WouldChange = ["Drive the same corners at the same pace with the oil at the same temperature, and compare again."],
    };

    public static ProofResult Judge(ProofResult measured, List<string> notes, ProofOptions options)
    {
        (GroupOutcome before, GroupOutcome after) = (measured.Before, measured.After);
        double wanted = measured.AfterBoundWantedPer100!.Value, bound = measured.AfterUpperBoundPer100!.Value;
        bool fewer = measured.PValue < options.Significance && measured.RateRatio < 1;
        bool more = measured.PValue < options.Significance && measured.RateRatio > 1;
        bool judgedEnough = after.NotJudged <= options.MaxShareNotJudged * (after.NotJudged + after.Judged);
        bool none = after.Events == 0 && after.EventsOutside == 0;
        bool isFixed = fewer && none && bound < wanted && judgedEnough;
        ProofVerdict verdict =
            isFixed ? ProofVerdict.Fixed :
            fewer ? ProofVerdict.Improved :
            more ? ProofVerdict.Worse : ProofVerdict.NoChangeShown;

        var reasons = new List<string> { Rates(measured), Significance(measured, options) };
        if (before.Events > 0) reasons.Add(Bound(measured, bound, wanted));
        if (after.EventsOutside > 0)
        {
            reasons.Add($"{Words.Count(after.EventsOutside, "drop")} after the change came outside the region that both groups cover; " +
                "they count in no rate, but 'fixed' cannot be said with them.");
        }
        if (!judgedEnough)
        {
            reasons.Add($"{Words.Whole(after.NotJudged)} of {Words.Count(after.NotJudged + after.Judged, "exposure")} after the change could not be judged; unknown is not healthy, so 'fixed' cannot be said.");
        }
        reasons.AddRange(Shared(measured, notes));
        NeededMore needed = AsVerdict(measured.Needed, verdict, none, judgedEnough, after);
        return measured with
        {
            Verdict = verdict,
            Headline = Headline(measured, verdict, bound, needed),
            Reasons = [.. reasons],
            Needed = needed,
            WouldChange = [.. WouldChange(measured, verdict, needed)],
        };
    }

    /// <summary>Never says that nothing more is needed while something stands against it, nor asks for more where it is settled.</summary>
    private static NeededMore AsVerdict(NeededMore needed, ProofVerdict verdict, bool none, bool judgedEnough, GroupOutcome after)
    {
        if (verdict == ProofVerdict.Fixed) return new(0, 0, 0, 0, "Nothing more is needed: it is settled for the conditions driven.");
        if (needed.Exposures != 0 || verdict is ProofVerdict.Worse) return needed;
        if (verdict == ProofVerdict.Improved && !none)
            return needed with { Sentence = "That it is better is settled. More laps cannot make it 'fixed', because it still happens: that takes another change." };
        int lap = Math.Max(1, (int)Math.Ceiling((double)after.Exposures / Math.Max(1, after.Laps)));
        return judgedEnough
            ? new(lap, 0, 1, 1, "It is at the edge: another lap or two like those driven would settle it.")
            : new(after.NotJudged, 0, null, null, $"{Words.Count(after.NotJudged, "more exposure")} with a pressure channel that can be believed.");
    }

    private static string Rates(ProofResult r) =>
        $"Before, pressure was lost in {Words.Whole(r.Before.Events)} of {Words.Count(r.Before.Exposures, "comparable exposure")} ({Words.Number(r.Before.RatePer100!.Value)} per 100, " +
        $"95 % limits {Words.Limits(r.Before.LimitsPer100!.Value)}); after, in {Words.Whole(r.After.Events)} of {Words.Whole(r.After.Exposures)} " +
        $"({Words.Number(r.After.RatePer100!.Value)} per 100, {Words.Limits(r.After.LimitsPer100!.Value)}).";

    private static string Significance(ProofResult r, ProofOptions options)
    {
        if (r.RateRatio is not { } ratio) return "Without a drop in either group there is no ratio to test.";
        string said = double.IsInfinity(ratio) ? "All drops came after the change"
            : ratio == 0 ? $"No drop came after the change; at like corners and loads it happens at most {Words.Number(r.RateRatioLimits!.Value.High)} times as often as before (95 %)"
            : $"At like corners and loads it happens {Words.Number(ratio)} times as often as before (95 % limits {Words.Limits(r.RateRatioLimits!.Value)})";
        return r.PValue < options.Significance
            ? $"{said}; chance alone would do that rarely (p {Words.P(r.PValue!.Value)}, laps and sessions respected)."
            : $"{said}; chance alone could do that (p {Words.P(r.PValue!.Value)}, laps and sessions respected).";
    }

    private static string Bound(ProofResult r, double bound, double wanted) =>
        $"After the change it could still happen up to {Words.Number(bound)} times in 100 (95 % upper bound); 'fixed' asks for less than {Words.Number(wanted)}, a fifth of the rate before.";

    private static IEnumerable<string> Shared(ProofResult r, List<string> notes)
    {
        foreach (AxisCover cover in r.Conditions.Where(c => !c.Matched && (r.Before.Judged > 0 && r.After.Judged > 0)))
            yield return $"{UpperFirst(cover.Name)} is not known in both groups, so it could not be matched.";
        int[] left = [r.LeftOut.Sum(l => l.Exposures[0]), r.LeftOut.Sum(l => l.Exposures[1])];
        if (left.Sum() > 0)
        {
            yield return $"Left out as not comparable: {Words.Whole(left[0])} of {Words.Whole(r.Before.Judged)} exposures before and {Words.Whole(left[1])} of {Words.Whole(r.After.Judged)} after; mostly {r.LeftOut.MaxBy(l => l.Exposures.Sum())!.Why}.";
        }
        foreach (GroupOutcome group in new[] { r.Before, r.After })
        {
            if (group.NotJudged > 0)
                yield return $"{Words.Count(group.NotJudged, "exposure")} of '{group.Name}' could not be judged and count{(group.NotJudged == 1 ? "s" : "")} nowhere.";
            if (group.Sessions == 1)
                yield return $"'{group.Name}' is a single session: how much sessions differ had to be assumed, and one day may be unlike the next.";
        }
        foreach (string note in notes) yield return note;
    }

    private static string Headline(ProofResult r, ProofVerdict verdict, double bound, NeededMore needed)
    {
        string counts = $"{Words.Whole(r.Before.Events)} of {Words.Whole(r.Before.Exposures)} before, {Words.Whole(r.After.Events)} of {Words.Whole(r.After.Exposures)} after";
        string more = needed.Exposures is null or 0 ? "" : $" {needed.Sentence}";
        return verdict switch
        {
            ProofVerdict.Fixed => $"Fixed: pressure was lost in {counts}; at like loads it now happens at most {Words.Number(bound)} times in 100 (95 %).",
            ProofVerdict.Improved when r.After.Events == 0 => $"Better, but not yet proven fixed: pressure was lost in {counts}.{more}",
            ProofVerdict.Improved => $"Better, but it still happens: pressure was lost in {counts}.",
            ProofVerdict.Worse => $"Worse: pressure was lost in {counts}.",
            _ when r.Before.Events + r.After.Events == 0 => "No change shown: pressure was lost neither before nor after.",
            _ => $"No change shown: pressure was lost in {counts}, and chance alone could do that.{more}",
        };
    }

    private static IEnumerable<string> WouldChange(ProofResult r, ProofVerdict verdict, NeededMore needed)
    {
        switch (verdict)
        {
            case ProofVerdict.Fixed:
                yield return "A single drop at these loads would take 'fixed' back.";
                yield return "More grip, a faster circuit, hotter oil or less oil in the sump is a new question: it holds for the conditions driven.";
                break;
            case ProofVerdict.Worse:
                yield return "Undo the change and compare again, before more is spent on it.";
                break;
            default:
                yield return needed.Sentence;
                if (r.After.Events == 0 && r.Before.Events > 0) yield return "A single drop at these loads would rule 'fixed' out.";
                break;
        }
    }

    private static string LowerFirst(string sentence) => sentence.Length > 1 && char.IsLower(sentence[1]) ? char.ToLowerInvariant(sentence[0]) + sentence[1..] : sentence;

    private static string UpperFirst(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
