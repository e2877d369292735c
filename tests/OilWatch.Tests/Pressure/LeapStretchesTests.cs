using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Pressure;

/// <summary>Stretches in which the pressure sensor was off by a constant, at 10 Hz, where a leap's shape says nothing. Truth: own model (<see cref="TestEngine"/>).</summary>
public sealed class LeapStretchesTests
{
    private const double FromS = 120.05;
    private const double ToS = 131.05;
    private static readonly TestEngine Engine = new() { Hz = 10, LoggedTemperatureC = _ => 98, NoiseKpa = 4 };

    [Theory]
    [InlineData(-160)]
    [InlineData(140)]
    public void A_constant_that_comes_and_goes_at_once_is_the_sensor(double kpa)
    {
        KnownLeap leap = Assert.Single(Leaps(Engine, (t, pressure) => t is > FromS and < ToS ? pressure + kpa : pressure));
        Assert.Equal(FromS, leap.From.Seconds, 0.06);
        Assert.Equal(ToS, leap.To.Seconds, 0.06);
        Assert.Equal(kpa, leap.Kpa, 8.0);
    }

    [Fact]
    public void At_one_engine_speed_the_runs_own_lag_tells()
    {
        TestEngine steady = Engine with { Rpm = t => t is > 118 and < 133 ? 5000 : TestEngine.UpAndDown(t), LagS = 0.17 };
        Assert.Single(Leaps(steady, (t, pressure) => t is > FromS and < ToS ? pressure - 130 : pressure));
        // The same taken away by air in the gallery: it goes and comes through the lag.
        double taken = 0;
        Assert.Empty(Leaps(steady, (t, pressure) =>
        {
            taken += (1 - Math.Exp(-0.1 / 0.17)) * ((t is > FromS and < ToS ? 130 : 0) - taken);
            return pressure - taken;
        }));
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(0.7)]
    public void A_share_that_comes_and_goes_at_once_is_a_loss(double share) =>
        Assert.Empty(Leaps(Engine with { LagS = 0.05 }, (t, pressure) => t is > FromS and < ToS ? share * pressure : pressure));

    [Theory]
    [InlineData(0.5)]
    [InlineData(3)]
    public void Far_more_than_a_healthy_engine_has_that_comes_and_goes_at_once_is_the_sensor_at_one_engine_speed_too(double lengthS)
    {
        TestEngine steady = Engine with { Rpm = t => t is > 118 and < 133 ? 5000 : TestEngine.UpAndDown(t) };
        KnownLeap leap = Assert.Single(Leaps(steady, (t, pressure) => t > FromS && t < FromS + lengthS ? pressure + 250 : pressure));
        Assert.Equal(250, leap.Kpa, 10.0);
        Assert.Equal(lengthS, leap.To.Seconds - leap.From.Seconds, 0.11);
        // As much less is a loss.
        Assert.Empty(Leaps(steady, (t, pressure) => t > FromS && t < FromS + lengthS ? pressure - 250 : pressure));
    }

    [Fact]
    public void What_does_not_come_back_is_a_loss() => Assert.Empty(Leaps(Engine, (t, pressure) => t > FromS ? pressure - 150 : pressure));

    [Fact]
    public void The_readings_within_are_left_out_of_the_fit()
    {
        PressureSamples samples = Engine.Samples();
        PressureSample[] kept = LeapStretches.Without(samples.All, [new KnownLeap(LogTime.FromSeconds(FromS), LogTime.FromSeconds(ToS), -160)]);
        Assert.Equal(samples.All.Length - 110, kept.Length);
        Assert.DoesNotContain(kept, sample => sample.AtS is > (float)FromS and < (float)ToS);
    }

    private static List<KnownLeap> Leaps(TestEngine engine, Func<double, double, double> change)
    {
        var samples = new PressureSamples(PressureModelOptions.Default, TestEngine.RatioAt);
        foreach (EngineFrame given in engine.Frames())
        {
            EngineFrame frame = given;
            frame[Role.OilPressure] = change(frame.At.Seconds, frame.PressureKpa);
            samples.Take(in frame);
        }

        HealthyPressure? model = PressureFit.Fit(samples.All, samples.CalmS, PressureModelOptions.Default, wholeRun: true);
        Assert.NotNull(model);
        return LeapStretches.In(samples.All, model, leastKpa: 100);
    }
}
