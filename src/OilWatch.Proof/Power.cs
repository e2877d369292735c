using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>How much more would settle the question.</summary>
internal static class Power
{
    private const double Reach = 2.801585;          // Φ⁻¹(0.975) + Φ⁻¹(0.8): a true effect of this many standard errors is found four times in five
    private const int Sensible = 6;                 // times what was driven; beyond that nobody will drive it

    public static NeededMore Needed(ProofResult counts, ClusteredRates rates, ProofOptions options)
    {
        (GroupOutcome before, GroupOutcome after) = (counts.Before, counts.After);
        double wanted = options.FixedShareOfBefore * Math.Min((double)before.Events / before.Exposures, rates.BeforeRateAtAfterMix);
        if (before.Events == 0 && after.Events == 0)
            return new(null, 0, null, null, "Pressure was lost in neither group, so there is nothing to settle here.");
        if (after.Events == 0 && wanted > 0)
            return More(AfterWithoutEvent(before, after, rates, wanted, options) - after.Exposures, 0, after, "without a drop");
        return rates.PValue < options.Significance ? Settled(rates) : ByRatio(before, after, rates);
    }

    /// <summary>Before any comparison: what <c>fixed</c> would ask for at the rate seen before.</summary>
    public static NeededMore FromScratch(GroupOutcome before, GroupOutcome after, ProofOptions options)
    {
        int events = before.Events + before.EventsOutside;
        if (events == 0)
        {
            return before.Judged > 0
                ? new(null, 0, null, null, "Pressure was not lost before, so there is nothing that a change could be shown to have fixed.")
                : new(null, 0, null, null, "Sessions before the change with judged exposures are needed first.");
        }
        double rate = (double)events / before.Judged;
        int total = Math.Max(options.MinExposures, (int)Math.Ceiling(Garwood.Upper(0) / (options.FixedShareOfBefore * rate)));
        return More(total, 0, before with { Exposures = before.Judged }, $"in the conditions of '{before.Name}' and without a drop");
    }

    private static int AfterWithoutEvent(GroupOutcome before, GroupOutcome after, ClusteredRates rates, double wanted, ProofOptions options)
    {
        double byBound = rates.ZeroEventNumerator(Math.Max(2, after.Sessions)) / wanted;
        // Were nothing changed, none of the events would fall to the after group with probability (n0 / (n0 + n1))^events; doubled for two sides.
        double effective = before.Events / Math.Max(1, rates.DesignEffects[0]);
        double byTest = before.Exposures * (Math.Pow(2 / options.Significance, 1 / effective) - 1);
        return (int)Math.Min(1e9, Math.Ceiling(Math.Max(options.MinExposures, Math.Max(byBound, byTest))));
    }

    private static NeededMore Settled(ClusteredRates rates) => new(
        0, 0, 0, 0,
        rates.Ratio < 1
            ? "That it is better is settled. More laps cannot make it 'fixed', because it still happens: that takes another change."
            : "Settled: it is worse.");

    private static NeededMore ByRatio(GroupOutcome before, GroupOutcome after, ClusteredRates rates)
    {
        double effect = Math.Abs(Math.Log(rates.Ratio));
        double[] relative = [.. new[] { before, after }.Select((o, g) =>
            Math.Max(1, rates.DesignEffects[g]) * (1 - ((double)o.Events / o.Exposures)) / Math.Max(0.5, o.Events))];
        double times = relative.Sum() * Reach * Reach / (effect * effect);
        if (!double.IsFinite(effect))
            return More(after.Exposures, before.Exposures, after, "and as many before");
        if (times > Sensible)
            return new(null, 0, null, null, "The two rates are so close that no sensible number of laps would tell them apart.");
        double further = Math.Max(0, times - 1);
        return More((int)Math.Ceiling(after.Exposures * further), (int)Math.Ceiling(before.Exposures * further), after,
            "would show a difference of this size four times in five");
    }

    private static NeededMore More(int exposures, int before, GroupOutcome like, string how)
    {
        if (exposures <= 0) return new(0, 0, 0, 0, "Nothing more is needed: it is settled for the conditions driven.");
        int? laps = like.Laps > 0 ? (int)Math.Ceiling(exposures / ((double)like.Exposures / like.Laps)) : null;
        int? sessions = like.Sessions > 0 && like.Exposures > 0 ? (int)Math.Ceiling(exposures / ((double)like.Exposures / like.Sessions)) : null;
        string also = before > 0 ? $" and {Words.Whole(before)} in the state before" : "";
        string asLaps = laps is { } l && sessions is { } s ? $" (about {Words.Count(l, "lap")} or {Words.Count(s, "session")} like those driven)" : "";
        string sentence = how.StartsWith("would", StringComparison.Ordinal)
            ? $"{Words.Count(exposures, "more comparable exposure")} after the change{also}{asLaps} {how}."
            : $"{Words.Count(exposures, "more comparable exposure")} after the change{also}{asLaps}, {how}, would settle it.";
        return new(exposures, before, laps, sessions, sentence);
    }
}
