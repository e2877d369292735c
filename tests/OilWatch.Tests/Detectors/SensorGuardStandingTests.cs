using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Sensors that are off by a constant, seen while the engine or the car stands. Truth: a log that begins in the pit with the engine off, idles, and drives away.</summary>
public sealed class SensorGuardStandingTests
{
    private const double StartS = 6;
    private const double LeaveS = 30;
    private delegate double Change(double atS, double value);

    [Theory]
    [InlineData(Role.OilPressure, 67)]
    [InlineData(Role.OilPressure, 148)]
    [InlineData(Role.CrankcasePressure, 5)]
    [InlineData(Role.CrankcasePressure, -12)]
    [InlineData(Role.LateralG, 0.5)]
    [InlineData(Role.LongitudinalG, -0.9)]
    [InlineData(Role.VehicleSpeed, 19)]
    [InlineData(Role.Vibration, 2.2)]
    public void A_log_that_begins_with_the_engine_off_shows_a_constant_error_within_seconds(Role role, double error)
    {
        GuardBench bench = Run((role, (_, value) => value + error));
        SensorFault fault = Assert.Single(bench.Raised);
        Assert.Equal((role, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.InRange(fault.Level, error - Math.Abs(0.1 * error), error + Math.Abs(0.1 * error));
        Assert.InRange(fault.Raised.Seconds, 1.5, 3);
    }

    [Theory]
    [InlineData(Role.OilPressure, 20)]
    [InlineData(Role.CrankcasePressure, 1.5)]
    [InlineData(Role.LateralG, 0.13)]
    [InlineData(Role.LongitudinalG, -0.13)]
    [InlineData(Role.VehicleSpeed, 4)]
    [InlineData(Role.Vibration, 0.6)]
    public void What_a_slope_the_weather_or_a_fan_makes_of_it_is_none(Role role, double error) => Assert.Empty(Run((role, (_, value) => value + error)).Raised);

    [Theory]
    [InlineData(Role.CrankcasePressure, 6)]
    [InlineData(Role.LateralG, 0.6)]
    [InlineData(Role.LongitudinalG, -0.6)]
    [InlineData(Role.VehicleSpeed, 22)]
    [InlineData(Role.Vibration, 3)]
    public void A_known_error_is_taken_off_what_the_detectors_see_and_masks_nothing(Role role, double error)
    {
        GuardBench spoiled = Run((role, (_, value) => value + error)), sound = Run();
        Assert.Empty(spoiled.Masked(role));
        foreach ((EngineFrame shown, EngineFrame truth) in spoiled.Frames.Zip(sound.Frames).Where(pair => pair.First.At.Seconds > 3))
            Assert.InRange(shown[role] - truth[role], -0.1 * Math.Abs(error), 0.1 * Math.Abs(error));
    }

    [Fact]
    public void Oil_pressure_is_left_as_it_was_read()
    {
        GuardBench spoiled = Run((Role.OilPressure, (_, value) => value + 130)), sound = Run();
        foreach ((EngineFrame shown, EngineFrame truth) in spoiled.Frames.Zip(sound.Frames)) Assert.Equal(truth.PressureKpa + 130, shown.PressureKpa, 6);
    }

    [Fact]
    public void Accelerations_that_are_off_make_no_stuck_road_speed_of_a_car_in_the_pit() =>
        Assert.All(Run((Role.LateralG, (_, value) => value + 0.5), (Role.LongitudinalG, (_, value) => value - 0.5)).Raised, fault => Assert.Equal(SensorFaultKind.Offset, fault.Kind));

    [Fact]
    public void An_acceleration_without_a_road_speed_beside_it_is_judged_while_the_engine_is_off() =>
        Assert.Equal(Role.LateralG, Assert.Single(Run((Role.LateralG, (_, value) => value + 0.7), (Role.VehicleSpeed, (_, _) => double.NaN)).Raised).Role);

    [Theory]
    [InlineData(0.25, 0.25)]
    [InlineData(0.5, 0)]
    public void A_steep_ramp_is_told_but_taken_off_only_beyond_what_any_ramp_makes(double error, double left)
    {
        GuardBench bench = Run((Role.LateralG, (_, value) => value + error));
        Assert.Single(bench.Raised);
        Assert.Equal(left, bench.Frames.Where(frame => frame.At.Seconds is > 10 and < LeaveS).Average(frame => frame.LateralG), 0.03);
    }

    [Theory]
    [InlineData(15)]
    [InlineData(35)]
    public void A_car_towed_or_rolling_with_its_engine_off_has_no_fault(double kmh)
    {
        var random = new Random(5);
        Assert.Empty(Run((Role.VehicleSpeed, (at, value) => at < StartS ? kmh + at + (0.5 * random.NextDouble()) : value), (Role.LongitudinalG, (at, value) => at < StartS ? value + (0.4 * Math.Sin(7 * at)) : value)).Raised);
    }

    [Fact]
    public void An_engine_stopped_after_running_shows_the_error_of_oil_pressure_once_it_is_still()
    {
        // Six seconds with the engine off at the end only.
        SensorFault fault = Assert.Single(RunAndStop(64, 0.5, 110).Raised, raised => raised.Start.Seconds > 50);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.InRange(fault.Raised.Seconds, 59, 64);
    }

    [Theory]
    [InlineData(3)]
    [InlineData(8)]
    [InlineData(12)]
    public void Pressure_that_drains_slowly_from_an_engine_that_ran_is_no_error(double drainS) => Assert.Empty(RunAndStop(100, drainS, 0).Raised);

    [Fact]
    public void A_slide_with_locked_wheels_and_a_stalled_engine_is_no_error_of_the_acceleration() => Assert.DoesNotContain(
        Run(90, (Role.EngineSpeed, (at, value) => at > 60 ? 0 : value), (Role.VehicleSpeed, (at, value) => at > 60 ? 0 : value), (Role.LateralG, (at, value) => at > 60 ? 0.01 * (value % 1) : value),
            (Role.LongitudinalG, (at, value) => at is > 60 and < 64 ? -0.95 + (0.02 * Math.Sin(40 * at)) : at > 64 ? 0.01 * Math.Sin(40 * at) : value), (Role.OilPressure, (at, value) => at > 60 ? 0 : value)).Raised,
        fault => fault.Role is Role.LongitudinalG or Role.LateralG);

    [Fact]
    public void An_error_that_is_gone_the_next_time_the_car_stands_ends_there()
    {
        SensorFault fault = Assert.Single(Run(90, (Role.LateralG, (at, value) => at < 40 ? value + 0.6 : at > 60 ? 0.01 * Math.Sin(40 * at) : value), (Role.LongitudinalG, (at, value) => at > 60 ? 0.01 * Math.Cos(40 * at) : value),
            (Role.VehicleSpeed, (at, value) => at > 56 ? Math.Max(0, value - (60 * (at - 56))) : value), (Role.EngineSpeed, (at, value) => at > 60 ? 900 + (15 * Math.Sin(11 * at)) : value)).Ended, ended => ended.Role == Role.LateralG);
        Assert.Equal(EventEnd.Recovered, fault.Ending);
        Assert.InRange(fault.End.Seconds, 60, 72);
    }

    /// <summary>A car that comes in at 50 s and whose engine is turned off at 57 s.</summary>
    private static GuardBench RunAndStop(double seconds, double drainS, double errorKpa)
    {
        var noise = new Gauss(3);
        return Run(seconds, (Role.EngineSpeed, (at, value) => at < 50 ? value : Math.Max(at < 57 ? 900 + (12 * noise.Next()) : 0, Math.Min(value, 4000 - (2000 * (at - 50))) - Math.Max(0, 1500 * (at - 57)))),
            (Role.VehicleSpeed, (at, value) => at < 50 ? value : Math.Max(0, value - (30 * (at - 50)))),
            (Role.LateralG, (at, value) => at < 50 ? value : 0.03 * noise.Next()), (Role.LongitudinalG, (at, value) => at < 50 ? value : (at < 55 ? -0.6 : 0) + (0.03 * noise.Next())),
            (Role.CrankcasePressure, (at, value) => at < 50 ? value : 0.2 * noise.Next()), (Role.Vibration, (at, value) => at < 50 ? value : at < 57 ? 0.5 + (0.03 * noise.Next()) : 0.05 + (0.01 * noise.Next())),
            (Role.OilPressure, (at, value) => (at < 50 ? value : at < 57 ? Math.Max(170, value - (100 * (at - 50))) : 170 * Math.Exp((57 - at) / drainS)) + (3 * noise.Next()) + (at < 40 ? 0 : errorKpa)));
    }

    private static GuardBench Run(params (Role Role, Change Change)[] changes) => Run(60, changes);

    private static GuardBench Run(double seconds, params (Role Role, Change Change)[] changes)
    {
        var noise = new Gauss(11);
        return GuardBench.Run(25, seconds, (double at, ref EngineFrame frame) =>
        {
            double rpm = frame.SpeedRpm;
            frame[Role.CrankcasePressure] = Math.Round((-0.002 * rpm) + (0.2 * noise.Next()), 2);
            frame[Role.Vibration] = Math.Round((0.0006 * rpm * (1 + (0.05 * noise.Next()))) + 0.3, 2);
            if (at < LeaveS)
            {
                frame[Role.VehicleSpeed] = 0;
                frame[Role.LateralG] = Math.Round(0.03 * noise.Next(), 3);
                frame[Role.LongitudinalG] = Math.Round(0.03 * noise.Next(), 3);
                frame[Role.EngineSpeed] = at < StartS ? 0 : Math.Round(900 * Math.Min(1, (at - StartS) / 1.5) + (12 * noise.Next()));
                frame[Role.OilPressure] = Math.Round(Math.Max(0, at < StartS ? 0 : 150 * (1 - Math.Exp((StartS - at) / 0.4))) + (3 * noise.Next()), 1);
                frame[Role.CrankcasePressure] = Math.Round((at < StartS ? 0 : -1.5) + (0.2 * noise.Next()), 2);
                frame[Role.Vibration] = Math.Round(at < StartS ? 0.05 + (0.01 * noise.Next()) : 0.5 + (0.03 * noise.Next()), 2);
            }
            else
            {
                double begun = Math.Min(1, (at - LeaveS) / 6);
                frame[Role.VehicleSpeed] *= begun;
                frame[Role.EngineSpeed] = 900 + ((rpm - 900) * begun);
                frame[Role.OilPressure] = 150 + ((frame.PressureKpa - 150) * begun);
                frame[Role.LateralG] *= begun;
                frame[Role.LongitudinalG] *= begun;
            }

            foreach ((Role role, Change change) in changes) frame[role] = change(at, frame[role]);
        });
    }
}
