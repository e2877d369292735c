using CsCheck;
using OilWatch.Causes;

namespace OilWatch.Tests.Causes;

public sealed class ChangePointTests
{
    [Fact]
    public void A_fall_is_found_where_it_is()
    {
        ChangePoint found = ChangePoint.Fall([1, 1.01, 0.99, 1, 1.01, 0.9, 0.71, 0.7, 0.69, 0.7], 6);
        Assert.Equal(5, found.Stretch);
        Assert.True(found.Sigma > 20, $"{found.Sigma}");
    }

    [Fact]
    public void A_rise_is_no_fall() => Assert.Equal(ChangePoint.None, ChangePoint.Fall([0.7, 0.7, 0.7, 0.8, 1, 1, 1, 1], 6));

    [Fact]
    public void A_fall_that_the_expectation_follows_is_found_within_the_window()
    {
        // Down by a fifth, then back to what by then is expected.
        double[] values = [1, 1, 1, 1, 1, 1, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1];
        Assert.InRange(ChangePoint.Fall(values, 4).Stretch, 5, 6);
        Assert.True(ChangePoint.Fall(values, 4).Sigma > 3 * ChangePoint.Fall(values, int.MaxValue).Sigma);
    }

    [Fact]
    public void What_is_not_known_is_left_out() =>
        Assert.Equal(6, ChangePoint.Fall([1, double.NaN, 1, 1, 1, double.NaN, 0.8, 0.6, 0.6, double.NaN, 0.6, 0.6], 6).Stretch);

    [Fact]
    public void Too_little_is_no_change()
    {
        Assert.Equal(ChangePoint.None, ChangePoint.Fall([], 6));
        Assert.Equal(ChangePoint.None, ChangePoint.Fall([1, 1, 0.5, 0.5], 6));
        Assert.Equal(ChangePoint.None, ChangePoint.Fall([double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN], 6));
    }

    [Fact]
    public void It_does_not_depend_on_the_level() => Gen.Int[-100, 100].Select(hundredths => hundredths / 100.0).Array[8, 40].Sample(
        values =>
        {
            ChangePoint one = ChangePoint.Fall(values, 9), other = ChangePoint.Fall([.. values.Select(value => value + 10)], 9);
            return Math.Abs(one.Sigma - other.Sigma) < 1e-6 * (1 + one.Sigma);
        },
        seed: "0000KOIGyjr3", iter: 300);
}
