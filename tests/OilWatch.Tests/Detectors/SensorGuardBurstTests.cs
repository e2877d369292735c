using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Long bursts of noise, and beside them what a sound car does that looks like it. Truth: a car of the test's own.</summary>
public sealed class SensorGuardBurstTests
{
    private const double FromS = 100;
    private delegate double Change(double atS, double value);

    [Theory]
    [InlineData(Role.Vibration, 0, 50, 50, 40, 0.4)]
    [InlineData(Role.Vibration, 0, 50, 20, 30, 0.65)]
    [InlineData(Role.Throttle, -12, 112, 50, 28, 0.5)]
    [InlineData(Role.CrankcasePressure, -30, 30, 10, 20, 0.6)]
    [InlineData(Role.CrankcasePressure, -30, 30, 50, 60, 0.4)]
    [InlineData(Role.FuelPressure, -125, 1125, 10, 45, 0.5)]
    public void A_burst_of_noise_is_one_fault_from_its_begin_to_its_end_and_masked(Role role, double low, double high, double hz, double lengthS, double share)
    {
        var random = new Random(21);
        GuardBench bench = Drive(hz, role, (at, value) => at >= FromS && at < FromS + lengthS && random.NextDouble() < share ? low + ((high - low) * random.NextDouble()) : value);
        SensorFault fault = Assert.Single(bench.Ended);
        Assert.Equal((role, EventEnd.Recovered), (fault.Role, fault.Ending));
        Assert.InRange(fault.Start.Seconds, FromS - 0.1, FromS + 2.5);
        Assert.InRange(fault.End.Seconds, FromS + lengthS - 2, FromS + lengthS + 0.5);
        Assert.InRange(bench.Masked(role).Count() / hz, 0.85 * (lengthS - 2), lengthS + 1.5);
        Assert.DoesNotContain(bench.Masked(role), frame => frame.At.Seconds > FromS + lengthS + 1.5);
    }

    [Fact]
    public void Frames_that_stand_for_readings_far_apart_are_a_burst_though_their_means_are_not() =>
        Assert.Equal(Role.Throttle, Assert.Single(Drive(25, Role.Throttle, (_, value) => value, raggedFor: 10).Raised).Role);

    [Fact]
    public void A_foot_that_blips_the_throttle_three_times_is_none() =>
        Assert.Empty(Drive(25, Role.Throttle, (at, value) => at % 20 < 1.5 ? 50 - (50 * Math.Cos(2 * Math.PI * (at % 20) / 0.5)) : value).Raised);

    [Fact]
    public void A_vibration_that_swells_and_dies_again_and_again_is_none() =>
        Assert.Empty(Drive(50, Role.Vibration, (at, value) => value * (1 + (7 * Math.Pow(Math.Sin(2 * Math.PI * at / 0.5), 2)))).Raised);

    [Fact]
    public void A_channel_that_is_noisy_by_nature_is_none()
    {
        var noise = new Gauss(31);
        Assert.Empty(Drive(20, Role.CrankcasePressure, (_, value) => value + (4 * noise.Next())).Raised);
    }

    [Fact]
    public void A_hose_that_comes_off_and_is_blown_on_again_is_none() =>
        Assert.Empty(Drive(20, Role.CrankcasePressure, (at, value) => at <= FromS ? value : at % 4 < 2 ? value * Math.Exp(-(at % 4) / 0.12) : value * (1 - Math.Exp((2 - (at % 4)) / 0.3))).Raised);

    private static GuardBench Drive(double hz, Role changed, Change change, double raggedFor = 0)
    {
        var noise = new Gauss(17);
        return GuardBench.Run(hz, 200, (double at, ref EngineFrame frame) =>
        {
            double rpm = frame.SpeedRpm;
            frame[Role.CrankcasePressure] = Math.Round(-8 - (0.001 * rpm) + (0.3 * noise.Next()), 2);
            frame[Role.Vibration] = Math.Round((0.3 + (0.0007 * rpm)) * (1 + (0.07 * noise.Next())), 2);
            frame[Role.Throttle] = Math.Round(50 + (40 * Math.Sin(0.8 * at)) + (0.2 * noise.Next()), 1);
            frame[Role.FuelPressure] = Math.Round(350 + (3 * noise.Next()), 1);
            frame[changed] = change(at, frame[changed]);
            if (at >= FromS && at < FromS + raggedFor) frame.Ragged = 1u << (int)changed;
        });
    }
}
