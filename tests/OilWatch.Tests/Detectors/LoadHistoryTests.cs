using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Loads as a car has them, by time, behind the load filter's delay.</summary>
public sealed class LoadHistoryTests
{
    private static LoadDirection Of(Func<double, (double Lateral, double Longitudinal)> loads, double startS)
    {
        var history = new LoadHistory(0.5);
        for (int i = 0; i < 200; i++)
        {
            double t = i * 0.05;
            (double lateral, double longitudinal) = loads(t - LoadFilter.DelayS);
            history.Step(new EngineFrame(LogTime.FromSeconds(t)) { LoadLateralG = lateral, LoadLongitudinalG = longitudinal });
        }
        return history.Before(LogTime.FromSeconds(startS), 1.5).Direction;
    }

    [Fact]
    public void Off_the_brakes_into_a_corner_the_corner_moves_the_oil() =>
        Assert.Equal(LoadDirection.Right, Of(t => (t < 5 ? 0 : -1.2, t < 4 ? 0 : t < 5.1 ? -1.1 : -0.4), 5.4));

    [Fact]
    public void On_the_power_out_of_a_corner_the_power_moves_the_oil() =>
        Assert.Equal(LoadDirection.Accelerating, Of(t => (t is > 3 and < 5 ? 1.1 : 0.2, t > 4.9 ? 0.7 : 0), 5.5));

    [Fact]
    public void A_load_that_has_just_gone_still_counts() =>
        Assert.Equal(LoadDirection.Left, Of(t => (t is > 3 and < 5 ? 1.1 : 0, 0), 5.8));

    [Fact]
    public void One_long_gone_does_not() => Assert.Equal(LoadDirection.None, Of(t => (t is > 3 and < 5 ? 1.1 : 0, 0), 8));
}
