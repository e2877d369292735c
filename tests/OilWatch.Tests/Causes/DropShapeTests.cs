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
