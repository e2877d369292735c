using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.5 and 9.9 (FOUND in R's help, COMPUTED with R).</summary>
public sealed class FourfoldTests
{
    [Fact]
    public void Lady_tasting_tea()
    {
        var tea = new FourfoldTest((3, 1, 1, 3));
        Assert.Equal(0.2428571429, tea.Greater, 1e-10);
        Assert.Equal(0.4857142857, tea.TwoSided, 1e-10);
        Assert.Equal(6.4083088670, tea.OddsRatio, 1e-4);           // R's optimiser stops at about 1e-5
        Limits limits = tea.OddsRatioLimits();
        Assert.Equal(0.2117329153, limits.Low, 1e-5);
        // R finds 1/621.93 only to its root finder's tolerance of 1.2e-4; the equation itself has its root here, 0.7 % higher.
        double r = limits.High;
        double weights = 1 + (16 * r) + (36 * r * r) + (16 * r * r * r);
        Assert.Equal(0.025, weights / (weights + (r * r * r * r)), 1e-12);
        Assert.Equal(1 / 621.9337505, 1 / r, 1.2e-4);
        double[] expected = [.0142857143, .2285714286, .5142857143, .2285714286, .0142857143];
        Assert.Equal(expected.Length, tea.Null.Count);
        for (int i = 0; i < expected.Length; i++) Assert.Equal(expected[i], tea.Null[i], 1e-10);
        Assert.Equal(1.0 / 70, new FourfoldTest((4, 0, 0, 4)).Greater, 1e-12);
    }

    [Fact]
    public void Convictions()
    {
        var test = new FourfoldTest((2, 10, 15, 3));
        Assert.Equal(4.6518094336e-04, test.Less, 1e-13);
        Assert.Equal(5.3672411914e-04, test.TwoSided, 1e-13);
        Assert.Equal(0.0469366088, test.OddsRatio, 1e-5);
    }

    [Fact]
    public void Rabbits_in_five_strata()
    {
        (int, int, int, int)[] rabbits = [(0, 6, 0, 5), (3, 3, 0, 6), (6, 0, 2, 4), (5, 1, 6, 0), (2, 0, 5, 0)];
        MantelHaenszel usual = MantelHaenszel.OddsRatio(rabbits);
        Assert.Equal(3.9285714286, usual.ChiSquare, 1e-9);
        Assert.Equal(.0474722551, usual.PValue, 1e-9);
        Assert.Equal(7, usual.Ratio, 1e-12);
        Assert.Equal(1.0267126885, usual.Limits.Low, 1e-8);
        Assert.Equal(47.7251333802, usual.Limits.High, 1e-6);

        var exact = new FourfoldTest(rabbits);
        Assert.Equal(.0399449036, exact.TwoSided, 1e-9);
        Assert.Equal(10.3610240814, exact.OddsRatio, 1e-3);
    }

    [Fact]
    public void Admissions_in_six_strata()
    {
        MantelHaenszel test = MantelHaenszel.OddsRatio(
            [(512, 313, 89, 19), (353, 207, 17, 8), (120, 205, 202, 391), (138, 279, 131, 244), (53, 138, 94, 299), (22, 351, 24, 317)]);
        Assert.Equal(1.4269462286, test.ChiSquare, 1e-9);
        Assert.Equal(.2323, test.PValue, 1e-4);
        Assert.Equal(.9046968283, test.Ratio, 1e-9);
    }

    [Fact]
    public void Mantel_Haenszel_ratio_of_rates()
    {
        // Check-values 9.9, COMPUTED.
        (double, double, double, double)[] strata = [(12, 20, 3, 25), (30, 40, 12, 35), (9, 10, 6, 15)];
        MantelHaenszel test = MantelHaenszel.RateRatio(strata);
        Assert.Equal(2.5723684211, test.Ratio, 1e-9);
        Assert.Equal(0.2592783992, test.LogStandardError, 1e-9);
        Assert.Equal(1.54751546, test.Limits.Low, 1e-8);
        Assert.Equal(4.27593744, test.Limits.High, 1e-8);
        Assert.Equal(14.2969297514, test.ChiSquare, 1e-9);
        Assert.Equal(1.561193e-04, test.PValue, 1e-10);
    }

    [Fact]
    public void A_stratum_that_one_side_never_entered_counts_nothing()
    {
        MantelHaenszel with = MantelHaenszel.RateRatio([(12, 20, 3, 25), (7, 9, 0, 0)]);
        MantelHaenszel without = MantelHaenszel.RateRatio([(12, 20, 3, 25)]);
        Assert.Equal(without, with);
    }
}
