using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

/// <summary>How pressure went within one run, against engines by the formula of the trade whose oil thins or which lose pressure at a known instant.</summary>
public sealed class MatchedFallTests
{
    [Theory]
    [InlineData(300, 0)]
    [InlineData(420, 0)]
    [InlineData(300, 120)]
    public void A_loss_is_found_where_it_came_and_as_large_as_it_was(double atS, double inS)
    {
        MatchedFall fall = MatchedFall.Of(Run(1, (t, _) => 1 - (0.3 * Math.Clamp((t - atS) / Math.Max(inS, 1), 0, 1))));
        Assert.True(fall.IsSure, $"{fall}");
        Assert.InRange(fall.AtS, atS - 40, atS + inS + 40);
        Assert.InRange(Math.Exp(fall.Level), 0.66, 0.76);
        Assert.True(fall.Shift.IsEven, $"{fall.Shift}");
    }

    [Fact]
    public void A_loss_at_low_speed_is_told_from_an_even_one()
    {
        MatchedFall fall = MatchedFall.Of(Run(2, (t, rpm) => t < 320 ? 1 : 1 - (0.5 * Math.Pow(900 / rpm, 0.4))));
        Assert.True(fall is { IsSure: true, Shift.IsGrown: true, Shift.IsEven: false }, $"{fall}");
    }

    [Theory]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    public void An_engine_that_only_warms_up_lost_nothing(int seed) => Assert.False(MatchedFall.Of(Run(seed, (_, _) => 1)) is { IsSure: true });

    [Fact]
    public void Where_loads_took_pressure_calm_running_alone_counts()
    {
        PressureMap map = Run(6, (t, rpm) => t > 330 && rpm > 4000 ? 0.5 : 1, loaded: rpm => rpm > 4000);
        Assert.True(MatchedFall.Of(map).IsSure);
        Assert.False(MatchedFall.Of(map, anyLoad: false).IsSure);
    }

    [Fact]
    public void A_run_too_short_to_have_two_parts_says_nothing()
    {
        var map = new PressureMap(PressureModelOptions.Default);
        Assert.Equal(MatchedFall.Unknown, MatchedFall.Of(map));
        Take(map, 0, new Random(1), (_, _) => 1);
        Assert.Equal(MatchedFall.Unknown, MatchedFall.Of(map));
    }

    /// <summary>Half a minute of idle, ten minutes at all speeds while the oil gets hot, and half a minute of idle.</summary>
    private static PressureMap Run(int seed, Func<double, double, double> left, Func<double, bool>? loaded = null)
    {
        var random = new Random(seed);
        var map = new PressureMap(PressureModelOptions.Default);
        for (double t = 0; t < 660; t += 0.05) Take(map, t, random, left, loaded);
        return map;
    }

    private static void Take(PressureMap map, double t, Random random, Func<double, double, double> left, Func<double, bool>? loaded = null)
    {
        bool idles = t is < 30 or > 630;
        double rpm = idles ? 900 + (20 * Math.Sin(t)) : 4300 + (2500 * Math.Sin(t * 0.31)), thickness = 0.9 + (2 * Math.Exp(-t / 90));
        double kpa = Math.Min(0.1 * rpm * Math.Pow(thickness, 0.65) * left(t, rpm), 430 + (0.01 * rpm));
        var frame = new EngineFrame(LogTime.FromSeconds(t)) { ExpectedKpa = 400, SpreadKpa = idles ? double.NaN : 8, Fresh = 1u << (int)Role.OilPressure, LoadLateralG = loaded?.Invoke(rpm) == true ? 1.1 : 0, LoadLongitudinalG = 0 };
        frame[Role.OilPressure] = kpa + (4 * ((2 * random.NextDouble()) - 1));
        frame[Role.EngineSpeed] = rpm;
        map.Take(in frame, rpm, thickness);
    }
}
