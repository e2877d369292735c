using MathNet.Numerics.Distributions;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests;

public sealed class ClusteredRatesTests
{
    private static readonly ClusteredRatesOptions Alone = ClusteredRatesOptions.Default with { SessionScatter = 0, Draws = 40_000 };

    private static List<ClusteredTrial> Trials(int group, int events, int trials, int perLap = 1) =>
        [.. Enumerable.Range(0, trials).Select(i => new ClusteredTrial(group, 0, group, (group * 10_000) + (i / perLap), i < events))];

    [Fact]
    public void Without_clusters_the_limits_are_Jeffreys()
    {
        // Brown, Cai, DasGupta 2001: quantiles of Beta(x + ½, n − x + ½). The 2.5 % points of 40 000 draws stand to 0.08 % of probability.
        var rates = new ClusteredRates([.. Trials(0, 12, 100), .. Trials(1, 30, 100)], Alone);
        Assert.Equal(Beta.InvCDF(12.5, 88.5, 0.025), rates.RateLimits[0].Low, 0.002);
        Assert.Equal(Beta.InvCDF(12.5, 88.5, 0.975), rates.RateLimits[0].High, 0.002);
        Assert.Equal(2.5, rates.Ratio, 1e-12);
        Assert.Equal(1, rates.LapDesignEffect);
    }

    [Fact]
    public void Without_any_event_the_bound_is_the_rule_of_three()
    {
        var rates = new ClusteredRates([.. Trials(0, 12, 100), .. Trials(1, 0, 100)], Alone);
        Assert.Equal(ClopperPearson.Upper(0, 100), rates.AfterUpperBound, 0.0007);
        Assert.Equal(ClopperPearson.Of(0, 100).High, rates.RateLimits[1].High, 0.0015);
        Assert.Equal(2.9957, rates.ZeroEventNumerator(2), 0.06);
    }

    [Fact]
    public void A_corner_repeated_twelve_times_is_not_twelve_corners()
    {
        // Whole laps go wrong together: eight passes a lap, all or none. The laps count, not the passes.
        List<ClusteredTrial> WholeLaps(int group, int bad) =>
            [.. Enumerable.Range(0, 24).SelectMany(lap => Enumerable.Range(0, 8).Select(c => new ClusteredTrial(group, c, group, (group * 100) + lap, lap < bad)))];
        var rates = new ClusteredRates([.. WholeLaps(0, 12), .. WholeLaps(1, 6)], Alone);
        Assert.Equal(8, rates.LapDesignEffect, 0.5);
        Limits byLaps = ClopperPearson.Of(12, 24);
        Assert.InRange(rates.RateLimits[0].Low, byLaps.Low, byLaps.Low + 0.05);
        Assert.InRange(rates.RateLimits[0].High, byLaps.High - 0.05, byLaps.High);
        Assert.True(rates.PValue > 0.05);
        Assert.True(RateRatioTest.Of(96, 192, 48, 192).TwoSided < 0.001);          // what counting passes would have said
    }

    [Fact]
    public void Sessions_that_differ_widen_the_limits()
    {
        List<ClusteredTrial> Sessions(params int[] events) =>
            [.. events.SelectMany((x, s) => Enumerable.Range(0, 50).Select(i => new ClusteredTrial(0, 0, s, (s * 100) + i, i < x)))];
        List<ClusteredTrial> after = [.. Enumerable.Range(0, 50).Select(i => new ClusteredTrial(1, 0, 9, 900 + i, i < 20))];
        double Width(List<ClusteredTrial> before) => new ClusteredRates([.. before, .. after]).RateLimits[0] is var l ? l.High - l.Low : 0;
        Assert.True(Width(Sessions(2, 38, 5, 35)) > 1.5 * Width(Sessions(20, 20, 20, 20)));
    }

    [Fact]
    public void Exchanging_the_groups_turns_the_ratio_over()
    {
        var there = new ClusteredRates([.. Trials(0, 12, 100), .. Trials(1, 30, 100)]);
        var back = new ClusteredRates([.. Trials(0, 30, 100), .. Trials(1, 12, 100)]);
        Assert.Equal(there.Ratio, 1 / back.Ratio, 1e-12);
        Assert.Equal(there.RatioLimits.Low, 1 / back.RatioLimits.High, 0.06);
        Assert.Equal(there.RatioLimits.High, 1 / back.RatioLimits.Low, 0.3);
    }

    [Fact]
    public void A_stratum_of_one_group_only_is_refused()
    {
        Assert.Equal(
            "Every stratum has trials in both groups. (Parameter 'trials')",
            Assert.Throws<ArgumentException>(() => new ClusteredRates([new(0, 0, 0, 0, true), new(1, 1, 1, 1, false)])).Message);
    }
}
