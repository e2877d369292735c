using CsCheck;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.6 and 9.7.</summary>
public sealed class RankTests
{
    [Fact]
    public void Permeability_example_of_Hollander_and_Wolfe()
    {
        // FOUND in R's help for wilcox.test, COMPUTED with R and scipy.
        MannWhitney test = MannWhitney.Of([.80, .83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, .73, 1.46], [1.15, .88, .90, .74, 1.21]);
        Assert.True(test.Exact);
        Assert.Equal(35, test.U);
        Assert.Equal(0.1272061272, test.Greater, 1e-10);
        Assert.Equal(0.2544122544, test.TwoSided, 1e-10);
        Assert.Equal(0.2206713619, test.NormalTwoSided, 1e-8);
        Assert.Equal(0.2446236051, test.NormalContinuityTwoSided, 1e-8);
        Assert.Equal(0.305, test.Shift, 1e-12);
        Assert.Equal(-0.15, test.ShiftLimits.Low, 1e-12);
        Assert.Equal(0.76, test.ShiftLimits.High, 1e-12);
        Assert.Equal(0.4, test.Delta, 1e-12);
    }

    [Fact]
    public void Groups_apart_and_groups_with_ties()
    {
        MannWhitney apart = MannWhitney.Of([1, 2, 3, 4, 5], [6, 7, 8, 9, 10]);
        Assert.Equal(0, apart.U);
        Assert.Equal(0.0079365079, apart.TwoSided, 1e-10);
        Assert.Equal(-1, apart.Delta);

        MannWhitney ties = MannWhitney.Of([1, 2, 2, 3, 5, 5], [2, 3, 4, 5, 6, 7, 7]);
        Assert.Equal(9.5, ties.U);
        Assert.Equal(0.1110549458, ties.NormalContinuityTwoSided, 1e-8);
        Assert.Equal(0.0957333849, ties.NormalTwoSided, 1e-8);
        Assert.Equal(0.1153846154, ties.TwoSided, 1e-10);          // exact permutation, R package coin
        Assert.Equal(-0.5476190476, ties.Delta, 1e-10);
    }

    [Fact]
    public void Exact_p_equals_counting_every_split() => Gen.Select(Gen.Int[0, 4].Array[2, 5], Gen.Int[0, 4].Array[2, 4]).Sample(
        (a, b) =>
        {
            MannWhitney fast = MannWhitney.Of([.. a.Select(v => (double)v)], [.. b.Select(v => (double)v)]);
            (double greater, double total) = CountSplits([.. a, .. b], a.Length, fast.U);
            Assert.Equal(greater / total, fast.Greater, 1e-12);
        }, iter: 200, seed: "0000000000001");

    private static (double Greater, double Total) CountSplits(int[] all, int n, double u)
    {
        double greater = 0, total = 0;
        for (int mask = 0; mask < 1 << all.Length; mask++)
        {
            if (System.Numerics.BitOperations.PopCount((uint)mask) != n) continue;
            double here = 0;
            for (int i = 0; i < all.Length; i++)
            {
                for (int j = 0; j < all.Length; j++)
                {
                    if ((mask >> i & 1) == 1 && (mask >> j & 1) == 0) here += all[i] > all[j] ? 1 : all[i] == all[j] ? 0.5 : 0;
                }
            }
            total++;
            if (here >= u) greater++;
        }
        return (greater, total);
    }

    private static readonly double[] Nile =
    [
        1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220,
        1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698,
        845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050,
        918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
    ];

    [Fact]
    public void Mann_Kendall_and_Theil_Sen_on_an_agency_example_with_ties()
    {
        // EPA QA/G-9S p. 109, FOUND second-hand and COMPUTED: S 22, variance 155.33, Z 1.685, slope 1.0, limits 0 to 2 (scipy).
        double[] y = [10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15];
        MannKendall trend = MannKendall.Of(y);
        Assert.Equal(22, trend.S);
        Assert.Equal(155.333333, trend.Variance, 1e-6);
        Assert.Equal(1.684950, trend.Z, 1e-6);
        Assert.Equal(.04599913, trend.OneSided, 1e-8);
        Assert.Null(trend.ExactTwoSided);
        TheilSen line = TheilSen.Of([.. Enumerable.Range(1, y.Length).Select(i => (double)i)], y);
        Assert.Equal(1.0, line.Slope);
        Assert.Equal(new Limits(0, 2), line.Limits);
    }

    [Fact]
    public void Mann_Kendall_and_Theil_Sen_without_ties()
    {
        double[] y = [5.2, 5.0, 5.4, 5.1, 5.6, 5.5, 5.9, 5.8, 6.1, 6.0];
        MannKendall trend = MannKendall.Of(y);
        Assert.Equal(33, trend.S);
        Assert.Equal(125, trend.Variance);
        Assert.Equal(2.8621670112, trend.Z, 1e-9);
        Assert.Equal(.0042075513, trend.TwoSided, 1e-9);
        Assert.Equal(.7333333333, trend.Tau, 1e-10);
        Assert.Equal(.0022128527, trend.ExactTwoSided!.Value, 1e-10);
        TheilSen line = TheilSen.Of([.. Enumerable.Range(1, y.Length).Select(i => (double)i)], y);
        Assert.Equal(.1166666667, line.Slope, 1e-10);
        Assert.Equal(.08, line.Limits.Low, 1e-10);
        Assert.Equal(.1571428571, line.Limits.High, 1e-10);
    }

    [Fact]
    public void Mann_Kendall_on_a_century_of_river_flow()
    {
        MannKendall trend = MannKendall.Of(Nile);
        Assert.Equal(-1387, trend.S);
        Assert.Equal(112728.333333, trend.Variance, 1e-6);
        Assert.Equal(-4.1280665228, trend.Z, 1e-9);
        Assert.Equal(3.65826e-05, trend.TwoSided, 1e-10);
        Assert.Equal(-2.6, TheilSen.Of([.. Enumerable.Range(1871, 100).Select(i => (double)i)], Nile).Slope, 1e-12);
    }

    [Fact]
    public void Kendall_statistic_of_the_tuna_example()
    {
        // R's cor.test example: T = 26 concordant of 36, tau .4444444444, two-sided .1194389330. Sorted by the first variable.
        MannKendall test = MannKendall.Of([2.5, 4.0, 2.6, 3.6, 2.8, 3.1, 5.2, 5.0, 3.8]);
        Assert.Equal((2 * 26) - 36, test.S);
        Assert.Equal(.4444444444, test.Tau, 1e-10);
        Assert.Equal(.1194389330, test.ExactTwoSided!.Value, 1e-9);
    }
}
