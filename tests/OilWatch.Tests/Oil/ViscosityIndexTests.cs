using OilWatch.Oil;

namespace OilWatch.Tests.Oil;

public sealed class ViscosityIndexTests
{
    // check-values 1.3, ASTM D2270 worked examples: L and H as published, results to the printed digits.
    [Theory]
    [InlineData(73.30, 8.86, 119.94, 69.48, 92.4296, 92)]      // procedure A, FOUND (second-hand text) + COMPUTED
    [InlineData(22.83, 5.05, 40.23, 28.97, 156.375, 156)]      // procedure B, FOUND + COMPUTED; L is not used above 100
    [InlineData(53.47, 7.80, 97.0, 57.31, 111.307, 111)]       // procedure B, MEMORY inputs + COMPUTED; L is not used
    public void Index_of_the_published_examples(double v40, double v100, double l, double h, double index, int reported)
    {
        double computed = ViscosityIndex.From(v40, v100, l, h);
        Assert.Equal(index, computed, 1e-3);
        Assert.Equal(reported, (int)Math.Round(computed));
    }

    // check-values 1.3, last row: FOUND formula + COMPUTED.
    [Fact]
    public void References_of_a_very_thick_oil()
    {
        (double l, double h) = ViscosityIndex.ReferencesAbove70(75);
        Assert.Equal(5582.8125, l, 1e-9);
        Assert.Equal(1739.0, h, 1e-9);
    }

    [Fact]
    public void An_oil_like_a_reference_has_its_index()
    {
        Assert.Equal(0, ViscosityIndex.From(119.94, 8.86, 119.94, 69.48));
        Assert.Equal(100, ViscosityIndex.From(69.48, 8.86, 119.94, 69.48));
    }

    [Fact]
    public void Not_defined_for_thin_oils_nor_without_references()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => ViscosityIndex.From(5, 1.99, 8, 6));      // check-values 1.3, FOUND
        Assert.Throws<ArgumentOutOfRangeException>(() => ViscosityIndex.From(double.NaN, 8, 100, 60));
        Assert.Throws<ArgumentOutOfRangeException>(() => ViscosityIndex.From(50, 8, 60, 60));
        Assert.Throws<ArgumentOutOfRangeException>(() => ViscosityIndex.ReferencesAbove70(69.9));
    }
}
