using OilWatch.Proof;
using OilWatch.Proof.Statistics;

namespace OilWatch.ProofStudy;

/// <summary>What a scenario's pairs added up to.</summary>
internal sealed class Tally
{
    public int Pairs { get; private set; }

    public Dictionary<ProofVerdict, int> Verdicts { get; } = [];

    /// <summary>Pairs with p below 0.05.</summary>
    public int Significant { get; private set; }

    /// <summary>Pairs whose true ratio is at least a fifth, and those of them called fixed.</summary>
    public (int Pairs, int Fixed) AboveTheRule { get; private set; }

    /// <summary>Pairs called fixed although the true rate after exceeds the bound that was stated.</summary>
    public int FixedAboveStatedBound { get; private set; }

    public Dictionary<string, Coverage> Limits { get; } = new(StringComparer.Ordinal);

    public static Tally Run(Scenario scenario, int pairs, ulong firstSeed, ProofOptions options)
    {
        var tally = new Tally();
        for (int i = 0; i < pairs; i++)
        {
            var pair = new SimulatedPair(scenario, firstSeed + (ulong)i);
            tally.Add(pair, ProofAnalysis.Compare(pair.Before, pair.After, options), options);
        }
        return tally;
    }

    private void Add(SimulatedPair pair, ProofResult result, ProofOptions options)
    {
        Pairs++;
        Verdicts[result.Verdict] = Verdicts.GetValueOrDefault(result.Verdict) + 1;
        if (result.Verdict == ProofVerdict.NotComparable) return;
        if (result.PValue < 0.05) Significant++;

        var support = new CommonSupport(TrialSet.From([pair.Before, pair.After]).Judged, 2, options);
        double[] truth = [Mean(0), Mean(1)];
        double ratio = Standard(1) / Standard(0);
        Cover("before", result.Before.LimitsPer100, 100 * truth[0]);
        Cover("before exact", result.Before.ExactLimitsPer100, 100 * truth[0]);
        if (truth[1] > 1e-9)
        {
            Cover("after", result.After.LimitsPer100, 100 * truth[1]);
            Cover("after exact", result.After.ExactLimitsPer100, 100 * truth[1]);
            Cover("ratio", result.RateRatioLimits, ratio);
            if (result.Exact is { } exact) Cover("ratio exact", exact.Limits, ratio);
            Cover("bound", new Limits(0, result.AfterUpperBoundPer100!.Value), 100 * truth[1]);
        }
        bool isFixed = result.Verdict == ProofVerdict.Fixed;
        if (ratio >= options.FixedShareOfBefore) AboveTheRule = (AboveTheRule.Pairs + 1, AboveTheRule.Fixed + (isFixed ? 1 : 0));
        if (isFixed && 100 * truth[1] > result.AfterUpperBoundPer100) FixedAboveStatedBound++;

        double Mean(int g) => support.Trials.SelectMany(s => s).Where(t => t.Group == g).Average(t => pair.Truth(t.Exposure));

        double Standard(int g)
        {
            double sum = 0;
            foreach (IReadOnlyList<Trial> stratum in support.Trials)
            {
                double weight = 1 / stratum.GroupBy(t => t.Group).Sum(own => 1.0 / own.Count());
                sum += weight * stratum.Where(t => t.Group == g).Average(t => pair.Truth(t.Exposure));
            }
            return sum;
        }
    }

    private void Cover(string name, Limits? limits, double truth)
    {
        if (limits is not { } l) return;
        Limits.TryAdd(name, new());
        Limits[name].Count(l, truth);
    }
}
