using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Causes;

public sealed class DropShapeTests
{
    [Fact]
    public void A_step_down_and_back_is_the_sensors_doing() => Assert.True(ShapeOf(t => t is >= 1 and < 3 ? 0.5 : 1).IsStep);

    [Theory]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.3)]
    public void What_oil_and_line_can_do_is_no_step(double lagS)
    {
        // The quickest that gallery, line and sensor can be, and slower: a step through a first-order lag.
        double ratio = 1;
        Assert.False(ShapeOf(t =>
        {
            double goal = t is >= 1 and < 3 ? 0.3 : 1;
            ratio = goal + ((ratio - goal) * Math.Exp(-0.05 / lagS));
            return ratio;
        }).IsStep);
    }

    [Fact]
    public void A_step_down_that_comes_back_slowly_is_no_step() =>
        Assert.False(ShapeOf(t => t < 1 ? 1 : Math.Min(1, 0.4 + (0.2 * (t - 1)))).IsStep);

    [Fact]
    public void A_log_too_slow_to_see_the_lag_shows_no_step() => Assert.False(ShapeOf(t => t is >= 1 and < 3 ? 0.5 : 1, 0.1).IsStep);

    [Fact]
    public void Pressure_that_goes_deepest_while_the_engine_slows_and_is_back_with_the_load_collapsed_under_it() =>
        Assert.Equal(LoadDirection.Braking, CollapsedUnder(t => t < 1 ? 1 : t < 3 ? 0.7 : t < 4 ? 0.2 : 1));

    [Fact]
    public void What_a_flow_takes_grows_less_as_the_engine_slows() =>
        Assert.Equal(LoadDirection.None, CollapsedUnder(t => t < 1 ? 1 : t < 2.6 ? 0.3 : t < 4 ? 0.6 : 1));

    [Fact]
    public void What_stays_low_seconds_after_the_load_is_no_collapse_under_it() =>
        Assert.Equal(LoadDirection.None, CollapsedUnder(t => t < 1 ? 1 : t < 3 ? 0.7 : t < 4 ? 0.2 : 0.6));

    [Fact]
    public void A_fall_that_stays_over_half_of_healthy_is_no_collapse() =>
        Assert.Equal(LoadDirection.None, CollapsedUnder(t => t < 1 ? 1 : t < 3 ? 0.8 : t < 4 ? 0.55 : 1));

    [Fact]
    public void Air_with_some_oil_leaves_pressure_erratic() =>
        Assert.Equal(1, ShapeOf(t => t < 1 ? 1 : 0.2 + (0.08 * Math.Sin(9 * t))).ErraticShare);

    [Fact]
    public void A_valve_or_a_pump_takes_pressure_steadily() =>
        Assert.Equal(0, ShapeOf(t => t < 1 ? 1 : 0.2 + (0.005 * Math.Sin(9 * t))).ErraticShare);

    [Fact]
    public void Next_to_nothing_left_says_nothing_of_how_it_strays() =>
        Assert.Equal(double.NaN, ShapeOf(t => t < 1 ? 1 : 0.005 + (0.004 * Math.Sin(9 * t))).ErraticShare);

    /// <summary>A straight at 7000 rpm up to 2.5 s, then braking down to 4500 rpm at 4 s, then coasting.</summary>
    private static LoadDirection CollapsedUnder(Func<double, double> ratio)
    {
        var watch = new DropWatch();
        for (int i = 0; i < 180; i++)
        {
            double t = i * 0.05;
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { ExpectedKpa = 400, Fresh = 1u << (int)Role.OilPressure, LoadLongitudinalG = t is > 2.5 and < 4.1 ? -1.1 : 0 };
            frame[Role.OilPressure] = 400 * ratio(t);
            frame[Role.EngineSpeed] = t < 2.5 ? 7000 : Math.Max(4500, 7000 - (2500 * (t - 2.5) / 1.5));
            watch.Step(in frame);
            if (i == 22) watch.Begin(LogTime.FromSeconds(0.98));
        }
        return watch.Shape(0.2, 3).CollapsedUnder;
    }

    private static DropShape ShapeOf(Func<double, double> ratio, double intervalS = 0.05)
    {
        var watch = new DropWatch();
        double least = 1;
        for (int i = 0; i * intervalS < 6; i++)
        {
            double t = i * intervalS;
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { ExpectedKpa = 400, Fresh = 1u << (int)Role.OilPressure };
            double now = ratio(t);
            frame[Role.OilPressure] = 400 * now;
            least = Math.Min(least, now);
            watch.Step(in frame);
            if (i == (int)(1.2 / intervalS)) watch.Begin(LogTime.FromSeconds(0.98));
        }
        return watch.Shape(least, 2);
    }
}
