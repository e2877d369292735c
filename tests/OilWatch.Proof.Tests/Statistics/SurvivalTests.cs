using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.10: remission times (Freireich et al. 1963; data MEMORY), COMPUTED with R's survival 3.5.3.</summary>
public sealed class SurvivalTests
{
    private static readonly (double, bool)[] Treated =
    [
        (6, true), (6, true), (6, true), (6, false), (7, true), (9, false), (10, true), (10, false), (11, false), (13, true), (16, true), (17, false), (19, false),
        (20, false), (22, true), (23, true), (25, false), (32, false), (32, false), (34, false), (35, false),
    ];

    private static readonly (double, bool)[] Placebo =
        [.. new double[] { 1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23 }.Select(t => (t, true))];

    [Fact]
    public void Kaplan_Meier_with_Greenwood_and_limits()
    {
        KaplanMeier curve = KaplanMeier.Of(Treated);
        double[] times = [6, 7, 10, 13, 16, 22, 23];
        double[] shares = [.85714286, .80672269, .75294118, .69019608, .62745098, .53781513, .44817927];
        // At 22 the row's .128232752 is a slip of one digit: 3/(21·18) + 1/(17·16) + 1/(15·14) + 1/(12·11) + 1/(11·10) + 1/(7·6) gives .128233752.
        double[] errors = [.076360355, .086935285, .096349653, .106814708, .114053865, .128233752, .134591457];
        Assert.Equal(times, curve.Steps.Select(s => s.TimeS));
        for (int i = 0; i < times.Length; i++)
        {
            Assert.Equal(shares[i], curve.Steps[i].Share, 1e-8);
            Assert.Equal(errors[i], curve.Steps[i].StandardError, 1e-9);
        }
        Assert.Equal(.61971796, curve.Steps[0].Limits.Low, 1e-8);
        Assert.Equal(.95155175, curve.Steps[0].Limits.High, 1e-8);
        Assert.Equal(.18805201, curve.Steps[6].Limits.Low, 1e-8);
        Assert.Equal(.68014263, curve.Steps[6].Limits.High, 1e-8);
        Assert.Equal(23, curve.MedianS);
    }

    [Fact]
    public void Kaplan_Meier_without_censoring_counts_down()
    {
        KaplanMeier curve = KaplanMeier.Of(Placebo);
        double[] shares =
            [.90476190, .80952381, .76190476, .66666667, .57142857, .38095238, .28571429, .19047619, .14285714, .09523810, .04761905];
        for (int i = 0; i < shares.Length; i++) Assert.Equal(shares[i], curve.Steps[i].Share, 1e-8);
        Assert.Equal(8, curve.MedianS);
    }

    [Fact]
    public void Log_rank_of_both()
    {
        LogRank test = LogRank.Of(Treated, Placebo);
        Assert.Equal([9, 21], test.Observed);
        Assert.Equal(19.250501, test.Expected[0], 1e-6);
        Assert.Equal(10.749499, test.Expected[1], 1e-6);
        Assert.Equal(16.7929409892, test.ChiSquare, 1e-8);
        Assert.Equal(4.1688091e-05, test.PValue, 1e-11);
    }

    [Fact]
    public void Log_rank_of_three_groups_does_not_care_for_their_order()
    {
        (double, bool)[] third = [(3, true), (9, true), (14, false), (20, true), (30, false)];
        LogRank a = LogRank.Of(Treated, Placebo, third), b = LogRank.Of(third, Treated, Placebo);
        Assert.Equal(2, a.DegreesOfFreedom);
        Assert.Equal(a.ChiSquare, b.ChiSquare, 1e-9);
        Assert.InRange(a.ChiSquare, LogRank.Of(Treated, Placebo).ChiSquare, 40);
    }

    [Fact]
    public void A_curve_without_events_stays_up_and_nothing_can_be_compared()
    {
        KaplanMeier curve = KaplanMeier.Of([(2, false), (3, false)]);
        Assert.Empty(curve.Steps);
        Assert.Null(curve.MedianS);
        Assert.Equal(3, curve.LongestS);
        Assert.Equal(1, LogRank.Of([(2, false)], [(3, false)]).PValue);
        Assert.Equal(1, LogRank.Of([], [(3, true)]).PValue);
    }
}
