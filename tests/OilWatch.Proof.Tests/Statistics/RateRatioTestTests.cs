using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.4 (COMPUTED with R and scipy; row 6 data FOUND in R's poisson.test example) and trap c.</summary>
public sealed class RateRatioTestTests
{
    [Theory]
    [InlineData(12, 100, 2, 100, 6, 0.0064697266, 0.0129394531, 0.0129394531, 0.003692626953, 1.335744, 55.197091)]
    [InlineData(12, 120, 2, 80, 4, 0.0397915811, 0.0573011226, 0.0795831622, 0.023944605696, 0.890496, 36.798060)]
    [InlineData(9, 40, 0, 30, double.PositiveInfinity, 0.0064961727, 0.0128370929, 0.0129923454, 0.003248086348, 1.480370, double.PositiveInfinity)]
    [InlineData(24, 12.5, 6, 14, 4.48, 0.0002387792, 0.0003392480, 0.0004775583, 0.000143757140, 1.784063, 13.399901)]
    [InlineData(5, 10, 0, 10, double.PositiveInfinity, 0.03125, 0.0625, 0.0625, 0.015625, 0.916356, double.PositiveInfinity)]
    [InlineData(11, 800, 21, 3011, 1.971488, 0.0560086599, 0.0796686330, 0.1120173196, 0.040038418280, 0.858426, 4.277266)]
    [InlineData(41, 28.010, 15, 19.017, 1.855759, 0.0238301234, 0.0408520263, 0.0476602468, 0.017728710886, 1.005684, 3.609300)]
    public void Two_Poisson_rates_given_their_total(
        int x1, double t1, int x2, double t2, double ratio, double oneSided, double twoSided, double doubled, double mid, double low, double high)
    {
        RateRatioTest test = RateRatioTest.Of(x1, t1, x2, t2);

        Assert.Equal(ratio, test.Ratio, 1e-6);
        Assert.Equal(oneSided, test.Greater, 1e-9);
        Assert.Equal(twoSided, test.TwoSided, 1e-9);
        Assert.Equal(doubled, test.Doubled, 1e-9);
        Assert.Equal(mid, test.MidGreater, 1e-10);
        Assert.Equal(low, test.Limits.Low, 1e-6);
        if (double.IsInfinity(high)) Assert.Equal(double.PositiveInfinity, test.Limits.High);
        else Assert.Equal(high, test.Limits.High, 1e-6 * Math.Max(1, high / 10));
    }

    [Fact]
    public void Limits_of_one_rate_are_Garwood_over_the_exposure()
    {
        // 137 in 24.19893: 5.6614073, 4.7531248 to 6.6927093 (check-values 9.4, FOUND data, COMPUTED).
        Assert.Equal(5.6614073, 137 / 24.19893, 1e-7);
        Limits limits = Garwood.Of(137).Times(1 / 24.19893);
        Assert.Equal(4.7531248, limits.Low, 1e-7);
        Assert.Equal(6.6927093, limits.High, 1e-7);
    }

    [Fact]
    public void Nothing_counted_proves_nothing()
    {
        RateRatioTest test = RateRatioTest.Of(0, 10, 0, 10);
        Assert.True(double.IsNaN(test.Ratio));
        Assert.Equal(1, test.TwoSided);
        Assert.Equal(new Limits(0, double.PositiveInfinity), test.Limits);
    }
}
