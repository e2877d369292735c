using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public class WindowTests
{
    // check-values 7, windows (periodic), COMPUTED scipy; N = 4096 here, and their factors do not depend on it beyond the digits given.
    [Theory]
    [InlineData(WindowShape.Rectangular, 1.000000000, 1, 1, 3.92239)]
    [InlineData(WindowShape.Hann, 1.500000000, 0.5, 0.375, 1.423623)]
    [InlineData(WindowShape.Hamming, 1.362825789, 0.54, 0.3974, 1.75143)]
    [InlineData(WindowShape.Blackman, 1.726757370, 0.42, 0.3046, 1.098879)]
    [InlineData(WindowShape.BlackmanHarris, 2.004352938, 0.35875, 0.257963355, 0.825572)]
    [InlineData(WindowShape.FlatTop, 3.770246447, 0.21557895, 0.175219503, 0.009778)]
    public void Factors_agree_with_the_published_tables(WindowShape shape, double enbw, double coherent, double power, double scalloping)
    {
        var window = new Window(shape, 4096);

        Assert.Equal(enbw, window.NoiseBandwidthBins, 5e-9);
        Assert.Equal(coherent, window.CoherentGain, 5e-9);
        Assert.Equal(power, window.PowerGain, 5e-10);
        Assert.Equal(scalloping, window.ScallopingDb, 1e-5);
    }
}
