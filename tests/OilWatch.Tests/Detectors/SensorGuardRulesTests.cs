using System.Reactive.Linq;
using CsCheck;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Frames at 20 Hz of an engine at work: speed wanders, pressure stands at its plateau with a little noise, the car corners.</summary>
public sealed class SensorGuardRulesTests
{
    private const double StepS = 0.05;
    private const double Plateau = 450;

    [Theory]
    [InlineData(0.04)]
    [InlineData(0.07)]
    [InlineData(0.15)]
    public void Pressure_lost_at_once_is_believed_all_the_way_to_zero_and_called(double lagS)
    {
        // The oil is gone at 30 s; gallery and sensor still need their time constant. The sensor ends at exactly 0.
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            double since = frame.At.Seconds - 30;
            if (since > 0) frame[Role.OilPressure] = Math.Max(0, Math.Round((Plateau * Math.Exp(-since / lagS)) - 3));
        });
        Assert.Empty(run.Faults);
        Assert.All(run.Frames, frame => Assert.False(frame.IsMasked(Role.OilPressure)));
        List<PressureDropChange> drops = [.. run.Judged.ToObservable().DetectPressureDrops().ToEnumerable()];
        Assert.InRange(drops[0].At.Seconds, 30, 30.3);
        PressureDrop drop = Assert.Single(drops, change => change.Phase == AlertPhase.Ended).Drop;
        Assert.Equal((Severity.Warning, EventEnd.LogEnded, 0.0), (drop.Severity, drop.Ending, drop.MinKpa));
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(4.0)]
    public void Pressure_cut_to_nothing_within_one_reading_is_a_dropout_and_no_loss(double level)
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 33) frame[Role.OilPressure] = level;
        });
        SensorFault fault = Only(run);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Dropout), (fault.Role, fault.Kind));
        Assert.InRange(fault.Start.Seconds, 29.99, 30.06);
        Assert.InRange(fault.Raised.Seconds, 30.2, 30.5);
        Assert.InRange(fault.End.Seconds, 33, 33.2);
        Assert.Empty(run.Judged.ToObservable().DetectPressureDrops().ToEnumerable());
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(0.3)]
    public void Engine_speed_that_drops_to_nothing_by_way_of_a_mean_is_a_dropout_for_as_long_as_oil_pressure_stands(double share)
    {
        // The frame in which it happens has the mean of readings before and after.
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            double at = frame.At.Seconds;
            if (at is >= 29.99 and < 30.04) frame[Role.EngineSpeed] *= share;
            else if (at is >= 30.04 and < 42) frame[Role.EngineSpeed] = 0;
        });
        SensorFault fault = Only(run);
        Assert.Equal((Role.EngineSpeed, SensorFaultKind.Dropout), (fault.Role, fault.Kind));
        Assert.InRange(fault.Start.Seconds, 29.9, 30.1);
        Assert.InRange(fault.End.Seconds, 41.9, 42.3);
    }

    [Fact]
    public void An_engine_that_stops_and_its_pressure_with_it_is_no_fault()
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            double since = frame.At.Seconds - 30;
            if (since < 0) return;
            frame[Role.EngineSpeed] = Math.Max(0, 2000 - (4000 * since));
            frame[Role.OilPressure] = Math.Round(Plateau * Math.Exp(-since / 0.4));
        });
        Assert.Empty(run.Faults);
    }

    [Fact]
    public void No_reading_is_a_dropout() =>
        Assert.Equal(SensorFaultKind.Dropout, Only(Play(60, (ref EngineFrame frame) => Set(ref frame, Role.EngineSpeed, 30, 31, double.NaN))).Kind);

    [Theory]
    [InlineData(Role.OilPressure, 447.0, SensorFaultKind.Stuck)]
    [InlineData(Role.OilPressure, 1000.0, SensorFaultKind.Rail)]
    [InlineData(Role.OilPressure, 5000.0, SensorFaultKind.Rail)]
    [InlineData(Role.EngineSpeed, 6000.0, SensorFaultKind.Stuck)]
    [InlineData(Role.LateralG, 0.9, SensorFaultKind.Stuck)]
    [InlineData(Role.LateralG, 4.0, SensorFaultKind.Rail)]
    [InlineData(Role.CrankcasePressure, -20.4, SensorFaultKind.Stuck)]
    public void A_value_that_stands_still_is_stuck_and_at_an_extreme_of_its_own_a_rail(Role role, double level, SensorFaultKind kind)
    {
        SensorFault fault = Only(Play(60, (ref EngineFrame frame) => Set(ref frame, role, 30, 34, level)));
        Assert.Equal((role, kind), (fault.Role, fault.Kind));
        Assert.InRange(fault.Start.Seconds, 29.9, 30.1);
        Assert.InRange(fault.Raised.Seconds, 30.1, 33);
        Assert.InRange(fault.End.Seconds, 34, 34.2);
    }

    [Fact]
    public void A_pressure_that_came_down_to_almost_nothing_and_stands_within_one_coarse_step_is_believed()
    {
        Run run = Play(120, (ref EngineFrame frame) =>
        {
            double lost = Math.Exp(-Math.Max(0, frame.At.Seconds - 100) / 0.3);
            frame[Role.OilPressure] = Math.Round((32 + ((frame.PressureKpa - 32) * lost)) / 4) * 4;
        });
        Assert.DoesNotContain(run.Faults, fault => fault.Role == Role.OilPressure);
        Assert.All(run.Frames.Where(frame => frame.At.Seconds > 102), frame => Assert.Equal(32, frame.PressureKpa));
    }

    [Fact]
    public void A_pressure_that_stands_for_a_second_while_the_engine_keeps_its_speed_is_believed_and_one_that_stands_while_the_engine_speeds_up_is_stuck()
    {
        Run steady = Play(60, (ref EngineFrame frame) =>
        {
            Set(ref frame, Role.EngineSpeed, 29, 32, 4017 + (frame.At.Seconds % 3));
            Set(ref frame, Role.OilPressure, 30, 31, 447);
        });
        Assert.DoesNotContain(steady.Faults, fault => fault.Role == Role.OilPressure);
        Assert.Equal(SensorFaultKind.Stuck, Only(Play(60, (ref EngineFrame frame) => Set(ref frame, Role.OilPressure, 30, 31, 447))).Kind);
    }

    [Fact]
    public void A_rail_that_was_seen_twice_is_not_believed_again_at_all()
    {
        Run run = Play(90, (ref EngineFrame frame) =>
        {
            foreach (double from in (ReadOnlySpan<double>)[30, 45, 60]) Set(ref frame, Role.LateralG, from, from + 2, 2.5);
        });
        Assert.Equal("Rail 32, Rail 47, Rail 62", string.Join(", ", run.Faults.Where(fault => fault.Ending != EventEnd.Open).Select(fault => $"{fault.Kind} {fault.End.Seconds:F0}")));
        Assert.All(run.Frames.Where(frame => frame.At.Seconds is > 60.01 and < 62), frame => Assert.True(frame.IsMasked(Role.LateralG)));
    }

    [Fact]
    public void Coarse_steps_are_no_stuck_sensor() =>
        Assert.Empty(Play(120, (ref EngineFrame frame) => frame[Role.OilPressure] = Math.Round(frame.PressureKpa / 4) * 4).Faults);

    [Fact]
    public void Pressure_that_leaps_and_goes_on_there_is_an_offset_until_it_leaps_back()
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 38) frame[Role.OilPressure] = frame.PressureKpa - 200;
        });
        SensorFault fault = Only(run);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Level, -215, -185);
        Assert.InRange(fault.Start.Seconds, 29.99, 30.06);
        Assert.InRange(fault.End.Seconds, 37.99, 38.06);
        Assert.Empty(run.Judged.ToObservable().DetectPressureDrops().ToEnumerable());
    }

    [Theory]
    [InlineData(6)]
    [InlineData(45)]                     // longer than a leap is masked for by itself
    public void Pressure_that_leaps_up_by_more_than_any_pump_lifts_it_is_masked_and_by_a_second_look_to_its_end(double lengthS)
    {
        FrameChange leap = (ref EngineFrame frame) =>
        {
            frame[Role.OilPressure] = frame.PressureKpa + (8 * Math.Sin(37 * frame.At.Seconds));         // gear teeth: full scale does not ripple
            if (frame.At.Seconds >= 30 && frame.At.Seconds < 30 + lengthS) frame[Role.OilPressure] = frame.PressureKpa + 425;
        };
        Run first = Play(110, leap);
        SensorFault fault = first.Faults.First(fault => fault.Ending != EventEnd.Open);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.InRange(fault.Start.Seconds, 29.99, 30.06);
        Assert.InRange(fault.Raised.Seconds, 30.05, 30.3);
        Assert.All(first.Frames.Where(frame => frame.At.Seconds > 30 + lengthS + 0.2), frame => Assert.False(frame.IsMasked(Role.OilPressure)));
        Run second = Play(110, leap, first.Guard);
        Assert.Equal(EventEnd.Recovered, Only(second).Ending);
        Assert.InRange(Only(second).End.Seconds, 29.99 + lengthS, 30.06 + lengthS);
        Assert.All(second.Frames.Where(frame => frame.At.Seconds > 30.06 && frame.At.Seconds < 29.99 + lengthS), frame => Assert.True(frame.IsMasked(Role.OilPressure)));
        Assert.All(second.Frames.Where(frame => frame.At.Seconds > 30 + lengthS + 0.2), frame => Assert.False(frame.IsMasked(Role.OilPressure)));
    }

    [Fact]
    public void Pressure_that_comes_back_up_through_its_lag_is_believed_and_a_loss_after_it_is_called()
    {
        double lag = Plateau;
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            double real = frame.At.Seconds is (>= 25 and < 30) or (>= 34 and < 38) ? 40 : Plateau;
            lag += (real - lag) * (1 - Math.Exp(-StepS / 0.05));
            frame[Role.OilPressure] = frame.PressureKpa - Plateau + lag;
        });
        Assert.DoesNotContain(run.Frames, frame => frame.At.Seconds > 30.5 && frame.IsMasked(Role.OilPressure));
        Assert.Contains(Drops(run), change => change.Drop.Start.Seconds is > 33.8 and < 34.5 && change.Drop.Severity >= Severity.Caution);
    }

    [Fact]
    public void An_offset_that_does_not_end_is_believed_again_when_in_doubt_the_alert_stands()
    {
        Run run = Play(90, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds >= 30) frame[Role.OilPressure] = frame.PressureKpa - 250;
        });
        Assert.Equal(EventEnd.DataLost, Only(run).Ending);
        Assert.Contains(run.Judged.ToObservable().DetectPressureDrops().ToEnumerable(), change => change.Drop.Severity >= Severity.Caution && change.At.Seconds < 63);
    }

    [Theory]
    [InlineData(-200.0)]
    [InlineData(150.0)]
    public void The_way_back_of_an_offset_that_was_believed_again_is_no_offset_and_a_loss_after_it_is_called(double leapKpa)
    {
        FrameChange change = (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 75) frame[Role.OilPressure] = frame.PressureKpa + leapKpa;
            double lost = 0.7 * (Gone(frame.At.Seconds - 80) - Gone(frame.At.Seconds - 84));
            frame[Role.OilPressure] = frame.PressureKpa * (1 - lost);
        };
        Run run = Play(110, change);
        Assert.DoesNotContain(run.Faults, fault => fault.Start.Seconds > 70);
        Assert.All(run.Frames.Where(frame => frame.At.Seconds > 76), frame => Assert.False(frame.IsMasked(Role.OilPressure)));
        Assert.Contains(Drops(run), change => change.Drop.Start.Seconds is > 79.8 and < 80.5 && change.Drop.Severity >= Severity.Caution);

        static double Gone(double seconds) => seconds < 0 ? 0 : 1 - Math.Exp(-seconds / 0.2);
    }

    [Fact]
    public void The_way_back_of_an_offset_whose_beginning_noise_hid_masks_nothing_after_it()
    {
        var random = new Random(11);
        FrameChange change = (ref EngineFrame frame) =>
        {
            double noise = frame.At.Seconds < 32 ? 24 * (random.NextDouble() - 0.5) : 0;
            frame[Role.OilPressure] = frame.PressureKpa + noise + (frame.At.Seconds is >= 30 and < 56 ? -160 : 0);
        };
        Run run = Play(90, change);
        Assert.Contains(run.Faults, fault => fault is { Kind: SensorFaultKind.Offset, Role: Role.OilPressure });
        Assert.All(run.Frames.Where(frame => frame.At.Seconds > 56.3), frame => Assert.False(frame.IsMasked(Role.OilPressure)));
    }

    [Theory]
    [InlineData(48.0, true)]
    [InlineData(101.3, true)]
    [InlineData(12.0, false)]
    public void Pressure_with_the_engine_stopped_is_an_offset(double kpa, bool called)
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds < 30) return;
            Stop(ref frame);
            frame[Role.OilPressure] = kpa + (0.3 * (frame.At.Nanoseconds / 50_000_000 % 2));
        });
        Assert.Equal(called, run.Faults.Any(fault => fault is { Role: Role.OilPressure, Kind: SensorFaultKind.Offset }));
    }

    [Fact]
    public void Pressure_that_still_sinks_after_the_engine_stopped_is_none() => Assert.Empty(Play(70, (ref EngineFrame frame) =>
    {
        frame[Role.VehicleSpeed] = Math.Min(frame.VehicleSpeedKmh, Math.Max(0, 35 * (30 - frame.At.Seconds)));
        if (frame.At.Seconds < 30) return;
        Stop(ref frame);
        frame[Role.EngineSpeed] = Math.Max(0, 5000 - (4000 * (frame.At.Seconds - 30)));
        frame[Role.CrankcasePressure] = -20 * Math.Exp(-(frame.At.Seconds - 30) / 0.8);
        frame[Role.OilPressure] = Plateau * Math.Exp(-(frame.At.Seconds - 30) / 6);
    }).Faults);

    [Fact]
    public void Acceleration_with_the_car_standing_is_an_offset_and_a_slope_is_not()
    {
        Assert.Equal([Role.LateralG], Standing(0.3).Select(fault => fault.Role).Distinct());
        Assert.Empty(Standing(0.1));
        static List<SensorFault> Standing(double g) => Play(60, (ref EngineFrame frame) =>
        {
            frame[Role.VehicleSpeed] = Math.Min(frame.VehicleSpeedKmh, Math.Max(0, 35 * (frame.At.Seconds - 20)));
            if (frame.At.Seconds >= 20) return;
            frame[Role.LongitudinalG] = 0.01 * (frame.At.Nanoseconds / 50_000_000 % 3);
            frame[Role.LateralG] = g + (0.01 * (frame.At.Nanoseconds / 50_000_000 % 3));
        }).Faults;
    }

    [Fact]
    public void Kerbs_shake_both_accelerations_and_are_no_spikes() => Assert.Empty(Play(60, (ref EngineFrame frame) => Shake(ref frame, both: true)).Faults);

    [Fact]
    public void One_acceleration_that_leaps_alone_has_spikes() =>
        Assert.Equal(SensorFaultKind.Spikes, Only(Play(60, (ref EngineFrame frame) => Shake(ref frame, both: false))).Kind);

    [Fact]
    public void Two_readings_far_out_of_all_reason_are_enough() => Assert.Equal(SensorFaultKind.Spikes, Only(Play(60, (ref EngineFrame frame) =>
    {
        if (Tick(frame) is 600 or 604) frame[Role.EngineSpeed] = 15_000;
    })).Kind);

    [Fact]
    public void One_wild_reading_is_removed_and_counted_and_not_reported()
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (Tick(frame) == 600) frame[Role.EngineSpeed] = 15_000;
        });
        Assert.Empty(run.Faults);
        Assert.Equal(1, run.Guard.WildReadings(Role.EngineSpeed));
        Assert.True(double.IsNaN(run.Frames[600].SpeedRpm));
    }

    [Fact]
    public void Readings_that_leap_to_and_fro_are_a_loose_connection_and_call_nothing_after_the_first_burst()
    {
        var random = new Random(5);
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 36 && Tick(frame) % 9 < 4) frame[Role.OilPressure] = random.Next(0, 1000);
        });
        Assert.Contains(run.Faults, fault => fault is { Role: Role.OilPressure, Kind: SensorFaultKind.Slew, Ending: EventEnd.Recovered });
        Assert.DoesNotContain(
            run.Judged.ToObservable().DetectPressureDrops().ToEnumerable(), change => change.At.Seconds > 30.5 && change.Phase == AlertPhase.Raised);
    }

    [Theory]
    [InlineData(Role.OilTemperature, -60)]
    [InlineData(Role.WaterTemperature, 300)]
    [InlineData(Role.BatteryVoltage, 0)]
    [InlineData(Role.FuelPressure, 0)]
    [InlineData(Role.OilTemperature, 40)]
    public void Slow_channels_are_judged_too(Role role, double level) =>
        Assert.Contains(Play(60, (ref EngineFrame frame) => Set(ref frame, role, 30, 38, level)).Faults, fault => fault.Role == role);

    [Fact]
    public void A_slow_channel_that_is_seldom_written_has_no_dropouts() => Assert.Empty(Play(400, (ref EngineFrame frame) =>
    {
        bool written = Tick(frame) % 500 == 0;
        if (!written) frame.Fresh &= ~(1u << (int)Role.WaterTemperature);
        if (Tick(frame) % 500 > 200) frame[Role.WaterTemperature] = double.NaN;
    }).Faults);

    [Fact]
    public void A_throttle_held_wide_open_is_not_stuck() =>
        Assert.Empty(Play(120, (ref EngineFrame frame) => frame[Role.Throttle] = Tick(frame) % 600 < 300 ? 100 : 10 + (Tick(frame) % 7)).Faults);

    [Theory]
    [InlineData(false, 1)]
    [InlineData(true, 0)]
    public void A_standing_engine_shows_the_air_of_the_day_where_the_crankcase_sensor_is_absolute(bool isAbsolute, int faults)
    {
        // 13 kPa below the standard atmosphere: about 1100 m.
        var guard = new SensorGuard(SensorGuardOptions.Default, isAbsolute);
        int raised = 0;
        for (int tick = 0; tick < 600; tick++)
        {
            EngineFrame frame = Frame(tick, new Random(tick));
            frame[Role.EngineSpeed] = 0;
            frame[Role.CrankcasePressure] = -13 + (0.2 * (tick % 3));
            guard.Apply(ref frame);
            for (int i = 0; i < guard.Changes.Count; i++)
                if (guard.Changes[i] is { Role: Role.CrankcasePressure, Kind: SensorFaultKind.Offset, Ending: EventEnd.Open }) raised++;
        }
        Assert.Equal(faults, raised);
    }

    [Fact]
    public void Stamps_that_ran_backwards_are_one_fault_where_the_log_stood()
    {
        var guard = new SensorGuard(SensorGuardOptions.Default);
        var faults = new List<SensorFault>();
        for (int tick = 0; tick < 400; tick++)
        {
            if (tick is 200 or 204) guard.OnStampBehind(new LogTime((tick - 1) * 50_000_000L), tick == 200 ? 0.8 : 0.5, Role.OilPressure);
            EngineFrame frame = Frame(tick, new Random(1));
            guard.Apply(ref frame);
            for (int i = 0; i < guard.Changes.Count; i++)
                if (guard.Changes[i].Kind == SensorFaultKind.Time) faults.Add(guard.Changes[i]);
        }
        Assert.Equal([EventEnd.Open, EventEnd.Recovered], faults.Select(fault => fault.Ending));
        SensorFault found = faults[1];
        Assert.Equal((SensorFaultKind.Time, Role.OilPressure, 2, 0.8), (found.Kind, found.Role, found.Count, found.Level));
        Assert.Equal((9.95, 10.15), (found.Start.Seconds, found.End.Seconds));
    }

    [Fact]
    public void What_is_wrong_when_the_log_ends_ends_with_it() =>
        Assert.Equal(EventEnd.LogEnded, Only(Play(60, (ref EngineFrame frame) => Set(ref frame, Role.LateralG, 50, 99, 7))).Ending);

    [Fact]
    public void Any_readings_at_all_give_faults_that_are_raised_and_ended_in_turn() =>
        Gen.Double.Array[0, 200].Select(Gen.Int[1, 400]).Sample(
            drawn =>
            {
                (double[] values, int stepMs) = drawn;
                var guard = new SensorGuard(SensorGuardOptions.Default);
                var open = new HashSet<(Role, SensorFaultKind, LogTime)>();
                for (int tick = 0; tick < values.Length; tick++)
                {
                    EngineFrame frame = new(new LogTime(tick * (long)stepMs * 1_000_000)) { Fresh = uint.MaxValue };
                    foreach (Role role in Roles.All) frame[role] = values[(tick + (int)role) % values.Length] * (((int)role % 3) - 1);
                    guard.Apply(ref frame);
                    Follow(guard, open);
                }
                guard.Finish();
                Follow(guard, open);
                return open.Count == 0;
            },
            seed: "0000KqQ5fV01", iter: 200, threads: 1);

    [Theory]
    [InlineData(-130.0)]
    [InlineData(160.0)]
    public void A_leap_that_noise_hides_is_proved_by_its_way_back_and_masked_by_a_second_look(double leapKpa)
    {
        var random = new Random(7);
        FrameChange noisy = (ref EngineFrame frame) =>
        {
            frame[Role.OilPressure] = frame.PressureKpa + (24 * (random.NextDouble() - 0.5)) + (frame.At.Seconds is >= 30 and < 34 ? leapKpa : 0);
        };
        Run first = Play(60, noisy);
        SensorFault fault = Only(first);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Start.Seconds, 29.99, 30.06);
        Assert.InRange(fault.End.Seconds, 33.99, 34.06);
        random = new Random(7);
        Run second = Play(60, noisy, first.Guard);
        Assert.All(second.Frames.Where(frame => frame.At.Seconds is > 30.06 and < 33.99), frame => Assert.True(frame.IsMasked(Role.OilPressure)));
        Assert.Empty(Drops(second));
    }

    [Fact]
    public void A_stretch_known_to_have_been_off_by_a_constant_is_masked_from_its_first_reading_and_reported_when_it_is_over()
    {
        var leap = new KnownLeap(LogTime.FromSeconds(29.975), LogTime.FromSeconds(34.975), -150);
        // Through a lag, so that no other rule finds it.
        double kpa = 0;
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (Tick(frame) == 0) kpa = 0;
            kpa += 0.4 * ((frame.At.Seconds is >= 30 and < 34.5 ? -150 : 0) - kpa);
            frame[Role.OilPressure] = frame.PressureKpa + kpa;
        }, leaps: [leap]);
        SensorFault fault = Only(run);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset, leap.From, leap.To), (fault.Role, fault.Kind, fault.Start, fault.End));
        Assert.Equal(35, fault.Raised.Seconds, 1e-6);
        Assert.All(run.Frames, frame => Assert.Equal(frame.At > leap.From && frame.At < leap.To, frame.IsMasked(Role.OilPressure)));
        Assert.Empty(Drops(run));
    }

    [Fact]
    public void Oil_that_grows_forty_degrees_hotter_at_once_is_the_thermometer_until_it_is_back()
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 36) frame[Role.OilTemperature] = frame.OilTemperatureC + 42;
        });
        SensorFault fault = Only(run);
        Assert.Equal((Role.OilTemperature, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.InRange(fault.Start.Seconds, 29.99, 30.06);
        Assert.InRange(fault.End.Seconds, 35.99, 36.3);
        Assert.All(run.Frames, frame => Assert.False(frame.OilTemperatureC > 120));
    }

    [Fact]
    public void A_first_temperature_that_is_none_yet_does_not_hold_out_the_true_one() => Assert.Empty(Play(60, (ref EngineFrame frame) =>
    {
        if (frame.At.Seconds < 3) frame[Role.OilTemperature] = 20;
    }).Faults);

    [Theory]
    [InlineData(0.04)]
    [InlineData(0.1)]
    public void Pressure_that_goes_and_comes_back_through_a_lag_is_believed_by_a_second_look_too(double lagS)
    {
        double kpa = Plateau;
        FrameChange loss = (ref EngineFrame frame) =>
        {
            if (Tick(frame) == 0) kpa = Plateau;
            double goal = frame.At.Seconds is >= 30 and < 34 ? 150 : Plateau;
            kpa += (1 - Math.Exp(-StepS / lagS)) * (goal - kpa);
            frame[Role.OilPressure] = frame.PressureKpa - Plateau + kpa;
        };
        Run second = Play(60, loss, Play(60, loss).Guard);
        Assert.Empty(second.Faults);
        PressureDrop drop = Assert.Single(Drops(second), change => change.Phase == AlertPhase.Ended).Drop;
        Assert.Equal(Severity.Warning, drop.Severity);
        Assert.InRange(drop.Start.Seconds, 29.9, 30.1);
    }

    [Fact]
    public void A_loose_connection_calls_nothing_in_a_second_look_and_a_loss_in_the_midst_of_it_is_still_called()
    {
        var random = new Random(5);
        FrameChange shaking = (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 30 and < 36 && Tick(frame) % 9 < 4) frame[Role.OilPressure] = random.Next(0, 1000);
        };
        Run first = Play(60, shaking);
        random = new Random(5);
        Assert.Empty(Drops(Play(60, shaking, first.Guard)));
        random = new Random(5);
        Run lost = Play(60, (ref EngineFrame frame) =>
        {
            double since = frame.At.Seconds - 33;
            if (since is > 0 and < 2) frame[Role.OilPressure] = frame.PressureKpa * (0.3 + (0.7 * Math.Exp(-since / 0.1)));
            shaking(ref frame);
        }, first.Guard);
        PressureDrop drop = Assert.Single(Drops(lost), change => change.Phase == AlertPhase.Ended).Drop;
        Assert.InRange(drop.Start.Seconds, 33, 33.6);
        Assert.InRange(drop.End.Seconds, 34.9, 35.7);
        Assert.Equal(Severity.Warning, drop.Severity);
    }

    [Fact]
    public void An_acceleration_that_goes_to_nothing_on_a_straight_is_stuck_where_noise_would_have_moved_it() =>
        Assert.Equal(
            (Role.LateralG, SensorFaultKind.Stuck, "593"),
            Play(600, (ref EngineFrame frame) => Set(ref frame, Role.LateralG, 593.6, 594.8, 0)).Faults
                .Where(fault => fault.Ending != EventEnd.Open).Select(fault => (fault.Role, fault.Kind, $"{Math.Floor(fault.Start.Seconds)}")).Single());

    [Fact]
    public void An_acceleration_that_always_lies_still_on_a_straight_is_not() =>
        Assert.Empty(Play(200, (ref EngineFrame frame) =>
        {
            if (Math.Abs(frame.LateralG) < 0.3) frame[Role.LateralG] = 0;
        }).Faults);

    [Fact]
    public void Pressure_gone_at_once_while_idling_is_still_not_believed_when_the_car_drives_off()
    {
        Run run = Play(60, (ref EngineFrame frame) =>
        {
            if (frame.At.Seconds is >= 20 and < 32)
            {
                Stop(ref frame);
                frame[Role.EngineSpeed] = 950 + (Tick(frame) % 7);
                frame[Role.OilPressure] = 180 + (Tick(frame) % 3);
            }
            Set(ref frame, Role.OilPressure, 30, 35, 0);
        });
        Assert.Contains(run.Faults, fault => fault is { Role: Role.OilPressure, Kind: SensorFaultKind.Dropout, Ending: EventEnd.Recovered });
        Assert.All(run.Frames.Where(frame => frame.At.Seconds is > 30.1 and < 34.9), frame => Assert.True(frame.IsMasked(Role.OilPressure)));
    }

    [Theory]
    [InlineData(30.0, 2.0, true)]
    [InlineData(30.0, 0.4, false)]         // shorter than half a second
    [InlineData(46.0, 2.0, false)]         // the engine stands
    public void Nothing_logged_while_the_engine_runs_is_a_gap(double fromS, double lengthS, bool called)
    {
        var guard = new SensorGuard(SensorGuardOptions.Default);
        var random = new Random(20261125);
        var faults = new List<SensorFault>();
        for (int tick = 0; tick < 60 / StepS; tick++)
        {
            EngineFrame frame = Frame(tick, random);
            if (frame.At.Seconds > fromS && frame.At.Seconds < fromS + lengthS) continue;
            if (frame.At.Seconds > 45) Stop(ref frame);
            guard.Apply(ref frame);
            for (int i = 0; i < guard.Changes.Count; i++)
                if (guard.Changes[i].Kind == SensorFaultKind.Gap) faults.Add(guard.Changes[i]);
        }
        Assert.Equal(called ? "Open 30.0 to 32.0, Recovered 30.0 to 32.0" : "", string.Join(", ", faults.Select(fault => FormattableString.Invariant($"{fault.Ending} {fault.Start.Seconds:F1} to {fault.End.Seconds:F1}"))));
    }

    [Fact]
    public void The_latest_median_forgets_what_is_older_than_its_window_and_stands_a_burst()
    {
        var median = new LatestMedian();
        Assert.True(double.IsNaN(median.At(LogTime.FromSeconds(1))));
        for (int tick = 0; tick < 200; tick++) median.Add(LogTime.FromSeconds(tick * StepS), tick is >= 190 and < 195 ? 0 : tick);
        Assert.Equal(187, median.At(LogTime.FromSeconds(199 * StepS)));
        Assert.True(double.IsNaN(median.At(LogTime.FromSeconds(30))));
    }

    [Fact]
    public void Stretches_that_meet_are_one_and_their_end_is_outside()
    {
        var found = new Stretches();
        found.Add(LogTime.FromSeconds(1), LogTime.FromSeconds(3));
        found.Add(LogTime.FromSeconds(2), LogTime.FromSeconds(4));
        found.Add(LogTime.FromSeconds(6), LogTime.FromSeconds(7));
        var known = new Stretches();
        known.LearnFrom(found);
        Assert.Equal(
            [false, true, true, true, false, false, true, false],
            new[] { 0.5, 1, 2.5, 3.9, 4, 5, 6.5, 7 }.Select(at => known.Hold(LogTime.FromSeconds(at))));
    }

    private static void Follow(SensorGuard guard, HashSet<(Role, SensorFaultKind, LogTime)> open)
    {
        for (int i = 0; i < guard.Changes.Count; i++)
        {
            SensorFault fault = guard.Changes[i];
            Assert.True(fault.Start <= fault.Raised);
            if (fault.Ending == EventEnd.Open) Assert.True(open.Add((fault.Role, fault.Kind, fault.Start)));
            else Assert.True(open.Remove((fault.Role, fault.Kind, fault.Start)));
        }
    }

    private delegate void FrameChange(ref EngineFrame frame);

    private sealed record Run(SensorGuard Guard, List<EngineFrame> Frames, List<SensorFault> Faults)
    {
        /// <summary>The frames with what is healthy filled in.</summary>
        public IEnumerable<EngineFrame> Judged => Frames.Select(frame =>
        {
            EngineFrame judged = frame;
            judged.ExpectedKpa = judged.SurelyExpectedKpa = Plateau;
            judged.SpreadKpa = 8;
            return judged;
        });
    }

    private static List<PressureDropChange> Drops(Run run) => [.. run.Judged.ToObservable().DetectPressureDrops().ToEnumerable()];

    private static Run Play(double seconds, FrameChange change, SensorGuard? learned = null, KnownLeap[]? leaps = null)
    {
        var run = new Run(new SensorGuard(SensorGuardOptions.Default), [], []);
        if (learned is not null) run.Guard.LearnFrom(learned, new ClockWatch());
        if (leaps is not null) run.Guard.LearnFrom(leaps);
        var random = new Random(20261125);
        for (int tick = 0; tick < seconds / StepS; tick++)
        {
            EngineFrame frame = Frame(tick, random);
            change(ref frame);
            run.Guard.Apply(ref frame);
            run.Frames.Add(frame);
            for (int i = 0; i < run.Guard.Changes.Count; i++) run.Faults.Add(run.Guard.Changes[i]);
        }
        run.Guard.Finish();
        for (int i = 0; i < run.Guard.Changes.Count; i++) run.Faults.Add(run.Guard.Changes[i]);
        return run;
    }

    private static EngineFrame Frame(int tick, Random random)
    {
        double at = tick * StepS;
        var frame = new EngineFrame(new LogTime(tick * 50_000_000L)) { Fresh = uint.MaxValue };
        frame[Role.EngineSpeed] = Math.Round(5500 + (1000 * Math.Sin(at / 2)) + Noise(8), 1);
        frame[Role.OilPressure] = Math.Round(Plateau + Noise(4), 1);
        frame[Role.LateralG] = Math.Round((1.1 * Math.Sin(at / 3)) + Noise(0.02), 3);
        frame[Role.LongitudinalG] = Math.Round((0.6 * Math.Cos(at / 2)) + Noise(0.02), 3);
        frame[Role.CrankcasePressure] = Math.Round(-20 - (3 * Math.Sin(at / 2)) + Noise(0.3), 1);
        frame[Role.VehicleSpeed] = Math.Round(140 + (40 * Math.Sin(at / 2)) + Noise(0.3), 1);
        frame[Role.Throttle] = Math.Round(50 + (45 * Math.Sin(at / 2)) + Noise(0.5), 1);
        frame[Role.OilTemperature] = Math.Round(105 + (at / 60) + Noise(0.2), 1);
        frame[Role.WaterTemperature] = Math.Round(90 + Noise(0.2), 1);
        frame[Role.FuelPressure] = Math.Round(350 + Noise(3));
        frame[Role.BatteryVoltage] = Math.Round(13.9 + Noise(0.03), 2);
        return frame;

        double Noise(double size) => size * ((2 * random.NextDouble()) - 1);
    }

    private static long Tick(in EngineFrame frame) => frame.At.Nanoseconds / 50_000_000;

    private static void Set(ref EngineFrame frame, Role role, double from, double to, double value)
    {
        if (frame.At.Seconds >= from && frame.At.Seconds < to) frame[role] = value;
    }

    private static void Stop(ref EngineFrame frame)
    {
        frame[Role.EngineSpeed] = 0;
        frame[Role.VehicleSpeed] = 0;
        frame[Role.LateralG] = frame[Role.LongitudinalG] = frame[Role.CrankcasePressure] = 0;
    }

    /// <summary>A knock of two and a half g for one reading, every second from 30 s on, on one acceleration or on both.</summary>
    private static void Shake(ref EngineFrame frame, bool both)
    {
        if (frame.At.Seconds is < 30 or > 36 || Tick(frame) % 20 != 0) return;
        frame[Role.LateralG] = frame.LateralG + 2.4;
        if (both) frame[Role.LongitudinalG] = frame.LongitudinalG - 1;
    }

    private static SensorFault Only(Run run)
    {
        Assert.Equal(EventEnd.Open, run.Faults[0].Ending);
        return Assert.Single(run.Faults, fault => fault.Ending != EventEnd.Open);
    }
}
