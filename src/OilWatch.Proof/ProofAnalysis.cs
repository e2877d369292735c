using System.Collections.Immutable;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>Compares groups of sessions: what do the data prove, and how much more would settle it.</summary>
public static class ProofAnalysis
{
    /// <summary>Compares the state before a change with the state after it.</summary>
    /// <param name="before">Sessions before.</param>
    /// <param name="after">Sessions after.</param>
    /// <param name="options">Null for the defaults.</param>
    /// <exception cref="ArgumentException">Bad options; the message names all of them.</exception>
    public static ProofResult Compare(ProofGroup before, ProofGroup after, ProofOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        options = Checked(options);

        TrialSet set = TrialSet.From([before, after]);
        var support = new CommonSupport(set.Judged, 2, options);
        GroupOutcome[] outcomes = [Count(before.Name, 0, set, support), Count(after.Name, 1, set, support)];

        List<string> obstacles = [.. Conditions.NotComparable(support, outcomes[0], outcomes[1], options)];
        if (set.Shared) obstacles.Insert(0, "One and the same session is in both groups; a session cannot be before and after.");
        var draft = new ProofResult
        {
            Verdict = ProofVerdict.NotComparable,
            Headline = "",
            Before = outcomes[0],
            After = outcomes[1],
            Needed = new(null, 0, null, null, ""),
            Strata = support.Strata,
            Conditions = support.Covers,
            LeftOut = [.. support.LeftOut],
        };
        return obstacles.Count > 0
            ? Reasoning.NotComparable(draft, obstacles, set.Notes, options)
            : Reasoning.Judge(Measured(draft, support, options), set.Notes, options);
    }

    /// <summary>Compares every group with the first, and all of them at once.</summary>
    /// <param name="groups">Two or more.</param>
    /// <param name="options">Null for the defaults.</param>
    /// <exception cref="ArgumentException">Fewer than two groups, or bad options.</exception>
    public static ProofComparison CompareAll(IReadOnlyList<ProofGroup> groups, ProofOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(groups);
        if (groups.Count < 2) throw new ArgumentException("There are at least two groups to compare.", nameof(groups));
        options = Checked(options);

        ImmutableArray<ProofResult> pairs = [.. groups.Skip(1).Select(g => Compare(groups[0], g, options))];
        var support = new CommonSupport(TrialSet.From(groups).Judged, groups.Count, options);
        LogRank? overall = support.Trials.Count == 0
            ? null
            : LogRank.Of([.. Enumerable.Range(0, groups.Count).Select(g =>
                (IReadOnlyList<(double, bool)>)[.. support.Trials.SelectMany(s => s).Where(t => t.Group == g).Select(t => t.Survival)])]);
        return new(pairs, Holm([.. pairs.Select(p => p.PValue)]), overall);
    }

    private static ProofOptions Checked(ProofOptions? options)
    {
        options ??= ProofOptions.Default;
        return options.Problems().ToList() is { Count: > 0 } problems
            ? throw new ArgumentException(string.Join("; ", problems), nameof(options))
            : options;
    }

    private static GroupOutcome Count(string name, int group, TrialSet set, CommonSupport support)
    {
        Trial[] region = [.. support.Trials.SelectMany(s => s).Where(t => t.Group == group)];
        int judged = set.Judged.Count(t => t.Group == group), events = region.Count(t => t.Event);
        return new()
        {
            Name = name,
            Sessions = set.Sessions[group],
            Laps = region.Select(t => t.Lap).Distinct().Count(),
            Judged = judged,
            NotJudged = set.NotJudged[group],
            Exposures = region.Length,
            Events = events,
            EventsOutside = set.Judged.Count(t => t.Group == group && t.Event) - events,
        };
    }

    private static ProofResult Measured(ProofResult draft, CommonSupport support, ProofOptions options)
    {
        var rates = new ClusteredRates(
            [.. support.Trials.SelectMany((stratum, h) => stratum.Select(t => new ClusteredTrial(t.Group, h, t.Session, t.Lap, t.Event)))], options.Rates);
        Trial[][] groups = [.. Enumerable.Range(0, 2).Select(g => support.Trials.SelectMany(s => s).Where(t => t.Group == g).ToArray())];
        GroupOutcome[] outcomes = [.. new[] { draft.Before, draft.After }.Select((o, g) => Filled(o, groups[g], rates, g))];
        Limits?[] medians = MedianLimits(support, options);
        LogRank logRank = LogRank.Of([.. groups.Select(g => (IReadOnlyList<(double, bool)>)[.. g.Select(t => t.Survival)])]);
        double inflation = Math.Max(1, rates.DesignEffects.Max());
        int events = draft.Before.Events + draft.After.Events;

        return draft with
        {
            Before = outcomes[0] with { MinRatioMedianLimits = medians[0] },
            After = outcomes[1] with { MinRatioMedianLimits = medians[1] },
            RateRatio = double.IsNaN(rates.Ratio) ? null : rates.Ratio,
            RateRatioLimits = events == 0 ? null : rates.RatioLimits,
            PValue = rates.PValue,
            Exact = RateRatioTest.Of(draft.After.Events, draft.After.Exposures, draft.Before.Events, draft.Before.Exposures),
            Stratified = MantelHaenszel.RateRatio(support.Strata.Select(s =>
                ((double)s.Events[1], (double)s.Exposures[1], (double)s.Events[0], (double)s.Exposures[0]))),
            LogRank = logRank,
            LogRankClusteredPValue = logRank.ChiSquare > 0 ? MathNet.Numerics.SpecialFunctions.GammaUpperRegularized(0.5, logRank.ChiSquare / inflation / 2) : 1,
            AfterUpperBoundPer100 = 100 * rates.AfterUpperBound,
            // The lower of the rate as it was and the rate as it would have been on the corners driven after: more harmless corners after must not make it pass.
            AfterBoundWantedPer100 = 100 * options.FixedShareOfBefore *
                Math.Min((double)draft.Before.Events / draft.Before.Exposures, rates.BeforeRateAtAfterMix),
            SessionScatter = rates.SessionScatter,
            LapDesignEffect = rates.LapDesignEffect,
            Depth = DepthOf(groups, options),
            Needed = Power.Needed(draft, rates, options),
        };
    }

    private static GroupOutcome Filled(GroupOutcome outcome, Trial[] trials, ClusteredRates rates, int group)
    {
        double[] ratios = [.. trials.Select(t => t.Exposure.MinRatio).OfType<double>().Order()];
        return outcome with
        {
            RatePer100 = 100.0 * outcome.Events / outcome.Exposures,
            ExactLimitsPer100 = ClopperPearson.Of(outcome.Events, outcome.Exposures).Times(100),
            LimitsPer100 = rates.RateLimits[group].Times(100),
            DesignEffect = rates.DesignEffects[group],
            TimeToDrop = KaplanMeier.Of(trials.Select(t => t.Survival)),
            MinRatios = [.. ratios],
            MinRatioMedian = ratios.Length == 0 ? null : Median(ratios),
        };
    }

    /// <summary>Limits of the medians: limits of the share below each median, turned back into ratios.</summary>
    /// <remarks>Source: R. S. Woodruff, J. Am. Stat. Assoc. 47 (1952) 635, with the share's limits from <see cref="ClusteredRates"/>.</remarks>
    private static Limits?[] MedianLimits(CommonSupport support, ProofOptions options)
    {
        List<Trial[]> strata = [.. support.Trials.Select(s => s.Where(t => t.Exposure.MinRatio is not null).ToArray()).Where(s => s.Any(t => t.Group == 0) && s.Any(t => t.Group == 1))];
        if (strata.Count == 0) return [null, null];
        double[][] sorted = [.. Enumerable.Range(0, 2).Select(g => strata.SelectMany(s => s).Where(t => t.Group == g).Select(t => t.Exposure.MinRatio!.Value).Order().ToArray())];
        double[] medians = [.. sorted.Select(Median)];
        var below = new ClusteredRates(
            [.. strata.SelectMany((s, h) => s.Select(t => new ClusteredTrial(t.Group, h, t.Session, t.Lap, t.Exposure.MinRatio < medians[t.Group])))],
            options.Rates with { Draws = Math.Max(200, options.Rates.Draws / 4) });
        return [.. below.RateLimits.Select((l, g) => (Limits?)new Limits(Bca.Quantile(sorted[g], l.Low), Bca.Quantile(sorted[g], l.High)))];
    }

    private static DepthEffect? DepthOf(Trial[][] groups, ProofOptions options)
    {
        double[][][] laps = [.. groups.Select(g => g.Where(t => t.Exposure.MinRatio is not null)
            .GroupBy(t => t.Lap).Select(l => l.Select(t => t.Exposure.MinRatio!.Value).ToArray()).ToArray())];
        if (laps.Any(l => l.Length < 2)) return null;
        (ImmutableArray<double> replicates, ImmutableArray<double> jackknife) =
            ClusterBootstrap.Draw<double[]>(laps, Change, options.Resamples, options.Rates.Seed);
        double[][] values = [.. laps.Select(l => l.SelectMany(v => v).ToArray())];
        double change = Change(laps);
        return new(change, Bca.Of(replicates, change, jackknife), CliffDelta(values[1], values[0]));

        static double Change(IReadOnlyList<IReadOnlyList<double[]>> groups) =>
            Median([.. groups[1].SelectMany(v => v).Order()]) - Median([.. groups[0].SelectMany(v => v).Order()]);
    }

    private static double CliffDelta(double[] first, double[] second)
    {
        double[] sorted = [.. second.Order()];
        double sum = 0;
        foreach (double x in first)
        {
            int below = FirstAtLeast(sorted, x), notAbove = FirstAtLeast(sorted, Math.BitIncrement(x));
            sum += below - (sorted.Length - notAbove);
        }
        return sum / ((double)first.Length * second.Length);
    }

    private static int FirstAtLeast(double[] sorted, double value)
    {
        int low = 0, high = sorted.Length;
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (sorted[middle] < value) low = middle + 1;
            else high = middle;
        }
        return low;
    }

    private static double Median(double[] sorted) => 0.5 * (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]);

    /// <summary>Source: S. Holm, Scand. J. Statist. 6 (1979) 65.</summary>
    private static ImmutableArray<double?> Holm(double?[] p)
    {
        var raised = new double?[p.Length];
        int left = p.Count(v => v is not null);
        double floor = 0;
        foreach (int i in Enumerable.Range(0, p.Length).Where(i => p[i] is not null).OrderBy(i => p[i]))
        {
            floor = Math.Max(floor, Math.Min(1, p[i]!.Value * left--));
            raised[i] = floor;
        }
        return [.. raised];
    }
}
