using System.Reactive.Linq;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Faults of half a second to a few seconds, and beside each what a sound car does that looks like it. Truth: a car of its own with noise, springs and a foot.</summary>
public sealed class SensorGuardShortFaultTests
{
    private const double FaultAtS = 200.02;
    private delegate double Change(double atS, double value);

    private static readonly Change Nothing = (_, value) => value;

    [Theory]
    [InlineData(0.8, double.NaN)]
    [InlineData(6, double.NaN)]
    [InlineData(1.5, 160.0)]
    [InlineData(0.8, -40.0)]
    public void A_thermometer_read_five_times_a_second_that_shows_nothing_or_nonsense_is_found(double lengthS, double level)
    {
        SensorFault fault = Only(Drive(25, Role.OilTemperature, (at, value) => at >= FaultAtS && at < FaultAtS + lengthS ? level : value, slowEvery: 5).Faults);
        Assert.Equal(Role.OilTemperature, fault.Role);
        Assert.InRange(fault.Start.Seconds, FaultAtS - 0.3, FaultAtS + 0.3);
        Assert.InRange(fault.End.Seconds, FaultAtS + lengthS - 0.3, FaultAtS + lengthS + 0.5);
    }

    [Theory]
    [InlineData(5, 0.8)]
    [InlineData(5, 3)]
    [InlineData(12, 3)]                  // readings half a second apart
    public void Oil_that_is_forty_degrees_hotter_at_once_is_found_and_not_called_too_hot(int every, double lengthS)
    {
        Run run = Drive(25, Role.OilTemperature, (at, value) => at >= FaultAtS && at < FaultAtS + lengthS ? value + 45 : value, slowEvery: every);
        SensorFault fault = Only(run.Faults);
        Assert.Equal((Role.OilTemperature, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.Empty(run.Frames.ToObservable().DetectOilTemperature().ToEnumerable());
    }

    [Fact]
    public void Oil_that_is_heated_or_cooled_as_fast_as_a_cooler_can_is_believed() =>
        Assert.Empty(Drive(25, Role.OilTemperature, (at, value) => value + Math.Clamp((at - FaultAtS) * 7, 0, 25) - Math.Clamp((at - FaultAtS - 20) * 5, 0, 25), slowEvery: 5).Faults);

    [Theory]
    [InlineData(Role.LateralG, 50, 0.8)]
    [InlineData(Role.LateralG, 20, 0.5)]
    [InlineData(Role.LateralG, 10, 3)]
    [InlineData(Role.LongitudinalG, 25, 0.6)]
    [InlineData(Role.LongitudinalG, 10, 3)]
    public void An_acceleration_that_is_off_by_a_constant_for_a_while_is_found_when_it_is_over(Role role, double hz, double lengthS)
    {
        SensorFault fault = Only(Drive(hz, role, (at, value) => at >= FaultAtS && at < FaultAtS + lengthS ? value + 1.2 : value).Faults);
        Assert.Equal((role, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.Equal(FaultAtS, fault.Start.Seconds, 0.11);
        Assert.Equal(FaultAtS + lengthS, fault.End.Seconds, 0.11);
        Assert.Equal(1.2, fault.Level, 0.35);
    }

    [Theory]
    [InlineData(Role.LateralG, 50)]
    [InlineData(Role.LateralG, 20)]
    [InlineData(Role.LateralG, 10)]
    [InlineData(Role.LongitudinalG, 20)]
    public void A_corner_or_a_stop_as_sharp_as_springs_and_tyres_let_it_be_is_none(Role role, double hz)
    {
        double felt = 0;
        Assert.Empty(Drive(hz, role, (at, value) =>
        {
            double wanted = at % 9 is > 4 and < 6 ? -1.3 : 0;
            felt += (wanted - felt) * (1 - Math.Exp(-1 / hz / 0.12));
            return value + felt;
        }).Faults);
    }

    [Fact]
    public void Kerbs_taken_in_and_out_of_a_corner_are_no_constant()
    {
        var random = new Random(7);
        Assert.DoesNotContain(Drive(50, Role.LateralG, (at, value) => at % 3 < 0.35 ? value + (1.5 * ((2 * random.NextDouble()) - 1)) : value).Faults, fault => fault.Kind == SensorFaultKind.Offset);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_stop_that_the_speed_of_the_car_confirms_is_one_however_sharp_it_reads(bool confirmed)
    {
        List<SensorFault> faults = Drive(10, Role.LongitudinalG, (at, value) => IsBraking(at) ? value - 1.2 : value, kmh: (at, kmh) =>
            confirmed ? kmh - (1.2 * 9.80665 * 3.6 * Math.Clamp(at - FaultAtS, 0, 1.5)) : kmh).Faults;
        Assert.Equal(confirmed ? 0 : 1, faults.Count(fault => fault.Ending != EventEnd.Open));
        static bool IsBraking(double at) => at is >= FaultAtS and < FaultAtS + 1.5;
    }

    [Theory]
    [InlineData(25, 0.5)]
    [InlineData(50, 0.6)]
    [InlineData(10, 0.6)]
    public void Engine_speed_that_reads_too_high_for_half_a_second_is_found(double hz, double lengthS)
    {
        SensorFault fault = Only(Drive(hz, Role.EngineSpeed, (at, value) => at >= FaultAtS && at < FaultAtS + lengthS ? value + 2500 : value).Faults);
        Assert.Equal((Role.EngineSpeed, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.Equal(2500, fault.Level, 400.0);
    }

    [Theory]
    [InlineData(20, 0.7, 1)]
    [InlineData(25, 20, 1)]
    [InlineData(25, 20, 0.7)]              // a mean over the moment of the leap lies part of the way
    [InlineData(25, 8, 0.5)]
    [InlineData(25, 8, 0.3)]
    [InlineData(50, 9, 1)]
    public void An_engine_speed_that_rises_by_more_than_a_crank_can_is_not_believed_until_it_is_back(double hz, double lengthS, double firstShare)
    {
        const double RiseRpm = 3600;
        Run run = Drive(hz, Role.EngineSpeed, (at, value) => value + (at < FaultAtS || at > FaultAtS + lengthS ? 0 : at < FaultAtS + (1 / hz) ? firstShare * RiseRpm : RiseRpm), kmh: (_, _) => double.NaN);
        SensorFault fault = Only(run.Faults);
        Assert.Equal((Role.EngineSpeed, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.Equal(FaultAtS, fault.Start.Seconds, 2 / hz);
        Assert.Equal(FaultAtS + lengthS, fault.End.Seconds, 3 / hz);
        Assert.DoesNotContain(run.Frames, frame => frame.SpeedRpm > 8000);
        Assert.Empty(run.Frames.ToObservable().DetectOverSpeed(new OverSpeedOptions { Rpm = 7600 }).ToEnumerable());
    }

    [Theory]
    [InlineData(20, 3600, 25_000)]         // as fast as a light flywheel
    [InlineData(50, 3600, 25_000)]
    [InlineData(20, 2400, 60_000)]         // a gear taken too low, by a box without a clutch
    [InlineData(50, 2400, 120_000)]
    public void An_engine_speed_that_rises_as_a_crank_can_is_believed_and_called_too_high(double hz, double riseRpm, double rpmPerS)
    {
        Run run = Drive(hz, Role.EngineSpeed, (at, value) => value + Math.Clamp((at - FaultAtS) * rpmPerS, 0, at < FaultAtS + 2 ? riseRpm : 0), kmh: (_, _) => double.NaN);
        Assert.DoesNotContain(run.Frames, frame => frame.At.Seconds > FaultAtS + 0.5 && frame.At.Seconds < FaultAtS + 1.9 && frame.IsMasked(Role.EngineSpeed));
        Assert.NotEmpty(run.Frames.ToObservable().DetectOverSpeed(new OverSpeedOptions { Rpm = 6500 }).ToEnumerable());
    }

    [Fact]
    public void An_engine_speed_that_fell_at_once_and_was_believed_is_no_fault_once_it_is_back()
    {
        Run run = Drive(25, Role.EngineSpeed, (at, value) => at >= FaultAtS && at < FaultAtS + 8 ? value - 3000 : value, kmh: (_, _) => double.NaN);
        Assert.DoesNotContain(run.Frames, frame => frame.At.Seconds > FaultAtS + 9 && frame.IsMasked(Role.EngineSpeed));
    }

    [Theory]
    [InlineData(10, 17_000)]
    [InlineData(25, 17_000)]
    [InlineData(50, 17_000)]
    [InlineData(20, 60_000)]
    public void A_gear_taken_and_given_back_is_no_offset_however_quick_the_box(double hz, double rpmPerS)
    {
        double shifted = 0;
        Assert.DoesNotContain(Drive(hz, Role.EngineSpeed, (at, value) =>
        {
            double wanted = at % 7 < 2 ? 1700 : 0;
            shifted += Math.Clamp(wanted - shifted, -rpmPerS / hz, rpmPerS / hz);
            return value + shifted;
        }).Faults, fault => fault.Kind == SensorFaultKind.Offset);
    }

    [Theory]
    [InlineData(Role.OilPressure, 25)]
    [InlineData(Role.OilPressure, 10)]
    [InlineData(Role.EngineSpeed, 10)]
    [InlineData(Role.LateralG, 20)]
    public void A_value_that_stands_still_for_half_a_second_where_noise_would_have_moved_it_is_stuck(Role role, double hz)
    {
        double held = 0;
        // By then half an hour has shown what noise does.
        SensorFault fault = Only(Drive(hz, role, (at, value) => at is >= 1803.02 and < 1803.52 ? held : held = value, seconds: 1830).Faults);
        Assert.Equal((role, SensorFaultKind.Stuck), (fault.Role, fault.Kind));
        Assert.Equal(1803, fault.Start.Seconds, 0.2);
    }

    [Theory]
    [InlineData(10, 3.0)]
    [InlineData(10, 8.0)]
    [InlineData(25, 8.0)]
    [InlineData(50, 4.0)]
    public void A_value_with_steps_so_coarse_that_it_stands_still_by_chance_is_not(double hz, double stepKpa) =>
        Assert.Empty(Drive(hz, Role.OilPressure, (_, value) => Math.Round(value / stepKpa) * stepKpa, seconds: 3600).Faults);

    [Fact]
    public void How_often_noise_makes_a_run_is_told_from_runs_half_as_long()
    {
        // One in four readings at 10 Hz equals the one before: five equal ones in a row begin at 0.75 x 0.25^4 of 36,000 readings an hour.
        var runs = default(RunLengths);
        var random = new Random(20261128);
        int run = 1;
        for (int i = 0; i < 400_000; i++)
        {
            if (random.NextDouble() < 0.25) { run++; continue; }
            runs.Add(0.1 * run);
            run = 1;
        }
        Assert.InRange(runs.TimesAnHour(0.5) / (36_000 * 0.75 * Math.Pow(0.25, 4)), 0.8, 1.3);
    }

    [Theory]
    [InlineData(25)]
    [InlineData(20)]
    [InlineData(50)]
    public void Pressure_that_leaps_to_and_fro_between_two_levels_is_a_loose_contact_and_no_loss(double hz)
    {
        Run run = Drive(hz, Role.OilPressure, (at, value) => at is >= FaultAtS and < FaultAtS + 3 ? Math.Floor((at - FaultAtS) * hz / 2) % 2 == 0 ? 500 : 690 : value);
        SensorFault fault = Only(run.Faults);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Slew), (fault.Role, fault.Kind));
        Assert.InRange(fault.Raised.Seconds, FaultAtS, FaultAtS + 0.7);
    }

    [Theory]
    [InlineData(6.25, 25)]
    [InlineData(5.7, 25)]
    [InlineData(4.1, 50)]
    [InlineData(2.4, 10)]
    public void Pressure_that_swings_as_oil_with_air_in_it_does_is_none(double swingHz, double hz)
    {
        var random = new Random(3);
        double swing = 60, phase = 0;
        Assert.Empty(Drive(hz, Role.OilPressure, (at, value) =>
        {
            swing += 0.25 * ((30 + (70 * random.NextDouble())) - swing);
            phase += 2 * Math.PI * swingHz / hz * (0.85 + (0.3 * random.NextDouble()));
            return value + (swing * Math.Sin(phase));
        }).Faults);
    }

    [Fact]
    public void A_throttle_that_is_blipped_or_goes_from_stop_to_stop_has_no_spikes() =>
        Assert.Empty(Drive(25, Role.Throttle, (at, value) => at % 5 < 0.24 ? Math.Max(value, 80) : at % 5 is > 2 and < 4 ? Math.Floor(at * 6.25) % 2 == 0 ? 0 : 100 : value).Faults);

    [Fact]
    public void What_an_engine_does_in_the_first_second_of_a_log_is_not_wild() =>
        Assert.Empty(Drive(25, Role.EngineSpeed, (at, value) => Math.Min(value, 1000 + (26_500 * at))).Faults);

    private static bool IsThird(double at) => at is >= FaultAtS and < FaultAtS + 0.5 && Math.Round(at * 25) % 3 == 0;

    private static (Role Role, SensorFaultKind Kind) Kind(SensorFault fault) => (fault.Role, fault.Kind);

    private sealed record Run(List<EngineFrame> Frames, List<SensorFault> Faults);

    private static SensorFault Only(List<SensorFault> faults) => Assert.Single(faults, fault => fault.Ending != EventEnd.Open);

    /// <summary>A car that laps for a while with one channel changed.</summary>
    private static Run Drive(double hz, Role role, Change change, int slowEvery = 1, Change? kmh = null, double seconds = 240)
    {
        var guard = new SensorGuard(SensorGuardOptions.Default);
        var run = new Run([], []);
        var random = new Random(20261128);
        double heldC = double.NaN;
        kmh ??= Nothing;
        for (int tick = 0; tick < seconds * hz; tick++)
        {
            double at = tick / hz;
            var frame = new EngineFrame(LogTime.FromSeconds(at)) { Fresh = uint.MaxValue };
            double pull = Math.Sin(at / 3);
            frame[Role.EngineSpeed] = Math.Round(5500 + (1200 * Math.Sin(at / 2)) + Noise(9));
            frame[Role.OilPressure] = Math.Round(500 + (0.02 * (frame.SpeedRpm - 5500)) + Noise(3.5), 1);
            frame[Role.LateralG] = Math.Round((1.1 * pull) + Noise(0.04), 3);
            frame[Role.LongitudinalG] = Math.Round((0.5 * Math.Cos(at / 2)) + Noise(0.04), 3);
            frame[Role.CrankcasePressure] = Math.Round(-20 - (3 * Math.Sin(at / 2)) + Noise(0.5), 1);
            frame[Role.VehicleSpeed] = Math.Round(kmh(at, 150 + (0.5 * 9.80665 * 3.6 * 2 * Math.Sin(at / 2)) + Noise(0.3)), 1);
            frame[Role.Throttle] = Math.Round(50 + (45 * Math.Sin(at / 2)) + Noise(0.5), 1);
            frame[Role.OilTemperature] = Math.Round(100 + (at / 60) + Noise(0.3), 1);
            frame[role] = change(at, frame[role]);
            if (tick % slowEvery == 0) heldC = frame.OilTemperatureC;
            else frame.Fresh &= ~(1u << (int)Role.OilTemperature);
            frame[Role.OilTemperature] = heldC;
            guard.Apply(ref frame);
            run.Frames.Add(frame);
            for (int i = 0; i < guard.Changes.Count; i++) run.Faults.Add(guard.Changes[i]);
        }
        guard.Finish();
        for (int i = 0; i < guard.Changes.Count; i++) run.Faults.Add(guard.Changes[i]);
        return run;

        double Noise(double size) => size * ((2 * random.NextDouble()) - 1);
    }
}
