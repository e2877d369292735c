using CsCheck;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Detectors;

/// <summary>What the guard believes. Truth: own rules (docs/results.md, <c>sensor-fault</c>) on a made-up engine.</summary>
public sealed class SensorGuardTests
{
    private static void AssertNoFault(GuardBench bench)
    {
        Assert.Empty(bench.Changes);
        Assert.All(bench.Frames, frame => Assert.Equal(0u, frame.Masked & GuardBench.Logged));
    }

    private static SensorFault OneFault(GuardBench bench, Role role, SensorFaultKind kind)
    {
        SensorFault raised = Assert.Single(bench.Raised);
        SensorFault ended = Assert.Single(bench.Ended);
        Assert.Equal((role, kind), (raised.Role, raised.Kind));
        Assert.Equal((role, kind), (ended.Role, ended.Kind));
        Assert.Equal((raised.Start, raised.Raised), (ended.Start, ended.Raised));
        return ended;
    }

    [Theory]
    [InlineData(10)]
    [InlineData(20)]
    [InlineData(50)]
    [InlineData(100)]
    public void Healthy_sensors_are_believed(double hz)
    {
        GuardBench bench = GuardBench.Run(hz, 120);
        AssertNoFault(bench);
        Assert.All(bench.Frames, frame => Assert.Equal(0u, frame.Suspect & GuardBench.Logged));
        Assert.Equal(0, bench.Guard.WildReadings(Role.OilPressure));
    }

    [Theory]
    [InlineData(Role.OilPressure, 10)]
    [InlineData(Role.OilPressure, 20)]
    [InlineData(Role.OilPressure, 100)]
    [InlineData(Role.EngineSpeed, 10)]
    [InlineData(Role.EngineSpeed, 20)]
    [InlineData(Role.EngineSpeed, 100)]
    public void Zero_at_once_is_a_dropout(Role role, double hz)
    {
        GuardBench bench = GuardBench.Run(hz, 40, (double t, ref EngineFrame frame) =>
        {
            if (t is >= 20 and < 22) frame[role] = 0;
        });
        SensorFault fault = OneFault(bench, role, SensorFaultKind.Dropout);
        Assert.Equal(20, fault.Start.Seconds, 1 / hz);
        Assert.InRange(fault.Raised.Seconds, 20.2, 20.25 + (2 / hz));
        Assert.Equal(22, fault.End.Seconds, 3 / hz);
        Assert.Equal(EventEnd.Recovered, fault.Ending);
        Assert.All(bench.Frames.Where(frame => frame.At.Seconds is >= 20 and < 22), frame => Assert.True(frame.IsMasked(role) && double.IsNaN(frame[role])));
        Assert.All(bench.Frames.Where(frame => frame.At.Seconds is < 20 or > 22.5), frame => Assert.False(frame.IsMasked(role)));
    }

    [Fact]
    public void No_reading_is_a_dropout_once_it_lasts()
    {
        GuardBench bench = GuardBench.Run(20, 40, (double t, ref EngineFrame frame) =>
        {
            if (t is >= 20 and < 21) frame[Role.LateralG] = double.NaN;
            if (t is >= 10 and < 10.1) frame[Role.OilPressure] = double.NaN;        // too short to report
        });
        SensorFault fault = OneFault(bench, Role.LateralG, SensorFaultKind.Dropout);
        Assert.Equal(20, fault.Start.Seconds, 0.06);
        Assert.Equal(21, fault.End.Seconds, 0.15);
    }

    [Theory]
    [InlineData(Role.OilPressure, 2500)]           // above highest_pressure_kpa
    [InlineData(Role.OilPressure, -100)]
    [InlineData(Role.OilPressure, 1034.2)]         // the top of a 10 bar sensor, reached at once and flat
    [InlineData(Role.EngineSpeed, 20_000)]
    [InlineData(Role.LateralG, 5)]
    [InlineData(Role.LongitudinalG, -5)]
    public void A_reading_at_an_end_of_its_range_is_a_rail(Role role, double value)
    {
        GuardBench bench = GuardBench.Run(20, 40, (double t, ref EngineFrame frame) =>
        {
            if (t is >= 20 and < 22) frame[role] = value;
        });
        SensorFault fault = OneFault(bench, role, SensorFaultKind.Rail);
        Assert.Equal(20, fault.Start.Seconds, 0.05);
        Assert.InRange(fault.Raised.Seconds, 20.1, 20.5);
        Assert.Equal(22, fault.End.Seconds, 0.2);
        Assert.Equal(value, fault.Level);
        Assert.All(bench.Frames.Where(frame => frame.At.Seconds is >= 20 and < 22), frame => Assert.True(frame.IsMasked(role)));
    }

    [Theory]
    [InlineData(Role.OilPressure)]
    [InlineData(Role.EngineSpeed)]
    [InlineData(Role.LateralG)]
    [InlineData(Role.LongitudinalG)]
    public void A_value_that_stays_while_the_engine_moves_is_stuck(Role role)
    {
        double held = double.NaN;
        GuardBench bench = GuardBench.Run(20, 60, (double t, ref EngineFrame frame) =>
        {
            if (t is < 30 or >= 36) held = frame[role];
            else frame[role] = held;
        });
        SensorFault fault = OneFault(bench, role, SensorFaultKind.Stuck);
        Assert.Equal(30, fault.Start.Seconds, 0.11);
        Assert.InRange(fault.Raised.Seconds, 30.2, 33);
        Assert.Equal(36, fault.End.Seconds, 0.15);
        Assert.All(bench.Frames.Where(frame => frame.At > fault.Raised && frame.At.Seconds < 36), frame => Assert.True(frame.IsMasked(role)));
    }

    [Theory]
    [InlineData(10, 0)]                // steps of 10 kPa
    [InlineData(1, 0.5)]               // half-second updates
    [InlineData(5, 0.25)]
    public void Coarse_steps_and_slow_updates_are_not_stuck(double stepKpa, double updateS)
    {
        double held = double.NaN, next = 0;
        GuardBench bench = GuardBench.Run(20, 240, (double t, ref EngineFrame frame) =>
        {
            if (t >= next)
            {
                held = Math.Round(frame.PressureKpa / stepKpa) * stepKpa;
                next = t + updateS - 1e-6;
            }

            frame[Role.OilPressure] = held;
        });
        AssertNoFault(bench);
    }

    [Fact]
    public void A_single_wild_reading_is_counted_and_nothing_more()
    {
        GuardBench bench = GuardBench.Run(20, 40, (double t, ref EngineFrame frame) =>
        {
            if (Math.Abs(t - 20) < 0.01) frame[Role.OilPressure] = 900;
        });
        Assert.Empty(bench.Changes);
        Assert.Equal(1, bench.Guard.WildReadings(Role.OilPressure));
        Assert.Equal(20, Assert.Single(bench.Masked(Role.OilPressure)).At.Seconds, 0.01);
    }

    [Fact]
    public void A_single_wild_zero_is_counted_and_nothing_more()
    {
        GuardBench bench = GuardBench.Run(20, 40, (double t, ref EngineFrame frame) =>
        {
            if (Math.Abs(t - 20) < 0.01) frame[Role.OilPressure] = 0;
        });
        Assert.Empty(bench.Changes);
        Assert.Equal(1, bench.Guard.WildReadings(Role.OilPressure));
        Assert.InRange(bench.Masked(Role.OilPressure).Count(), 1, 2);
    }

    [Fact]
    public void Several_wild_readings_in_a_short_time_are_spikes()
    {
        GuardBench bench = GuardBench.Run(20, 40, (double t, ref EngineFrame frame) =>
        {
            if (t is >= 20 and < 23 && Math.Round(t * 20) % 8 == 0) frame[Role.OilPressure] = 900;
        });
        SensorFault fault = OneFault(bench, Role.OilPressure, SensorFaultKind.Spikes);
        Assert.Equal(20, fault.Start.Seconds, 0.15);
        Assert.InRange(fault.Count, 6, 8);
        Assert.InRange(bench.Guard.WildReadings(Role.OilPressure), 6, 8);
        Assert.DoesNotContain(bench.Frames, frame => frame.PressureKpa > 800);
    }

    [Theory]
    [InlineData(0.05, 10)]
    [InlineData(0.05, 20)]
    [InlineData(0.05, 50)]
    [InlineData(0.05, 100)]
    [InlineData(0.1, 10)]
    [InlineData(0.1, 20)]
    [InlineData(0.1, 50)]
    [InlineData(0.1, 100)]
    public void A_real_fall_is_never_masked_however_fast_and_deep(double timeConstantS, double hz)
    {
        // Exponential falls to 3 % of what it was, and back; at ten places between two readings.
        for (int phase = 0; phase < 10; phase++)
        {
            double from = 20 + (phase / (10 * hz));
            GuardBench bench = GuardBench.Run(hz, 40, (double t, ref EngineFrame frame) =>
            {
                double gone = t < from ? 0 : t < from + 1.5 ? 1 - Math.Exp(-(t - from) / timeConstantS) : Math.Exp(-(t - from - 1.5) / (2 * timeConstantS));
                frame[Role.OilPressure] = Math.Round(frame.PressureKpa * (1 - (0.97 * gone)), 1);
            });
            Assert.Empty(bench.Masked(Role.OilPressure));
            Assert.Empty(bench.Changes);
        }
    }

    [Fact]
    public void An_engine_that_stops_is_no_fault()
    {
        GuardBench bench = GuardBench.Run(20, 60, (double t, ref EngineFrame frame) =>
        {
            if (t < 20) return;
            double stopping = Math.Max(0, 1 - ((t - 20) / 1.2));
            frame[Role.VehicleSpeed] = Math.Max(0, 100 - (40 * (t - 20)));
            frame[Role.EngineSpeed] = Math.Round(900 * stopping);
            frame[Role.OilPressure] = Math.Round(150 * stopping * stopping);
            if (frame.VehicleSpeedKmh > 0) return;
            frame[Role.LateralG] = 0.012;
            frame[Role.LongitudinalG] = -0.031;
        });
        Assert.DoesNotContain(bench.Raised, fault => fault.Role is Role.LateralG or Role.LongitudinalG);
        Assert.DoesNotContain(bench.Raised, fault => fault.Role is Role.OilPressure or Role.EngineSpeed && fault.Start.Seconds > 21.5);
    }

    [Fact]
    public void An_engine_that_idles_and_is_switched_off_is_no_fault()
    {
        GuardBench bench = GuardBench.Run(20, 60, (double t, ref EngineFrame frame) =>
        {
            double running = t < 30 ? 1 : Math.Max(0, 1 - ((t - 30) / 0.8));
            frame[Role.VehicleSpeed] = 0;
            frame[Role.EngineSpeed] = Math.Round(950 * running) + (running > 0 ? Math.Round(frame.SpeedRpm % 20) : 0);
            frame[Role.OilPressure] = running > 0 ? Math.Round((180 * running) + (frame.PressureKpa % 10), 1) : 0;
            frame[Role.LateralG] = 0.012;
            frame[Role.LongitudinalG] = -0.031;
        });
        Assert.Empty(bench.Changes);
    }

    [Fact]
    public void Acceleration_resting_at_zero_on_a_straight_is_not_stuck()
    {
        // A coarse accelerometer: steps of 0.05 g show exactly nothing for six seconds of every straight. Before its habit is
        // known it may be doubted a few times; who knows it from a look at the whole run doubts nothing.
        GuardBench first = GuardBench.Run(20, 300, Coarse);
        Assert.DoesNotContain(first.Raised, fault => fault.Start.Seconds > 120);
        var guard = new SensorGuard(SensorGuardOptions.Default);
        guard.LearnFrom(first.Guard, new ClockWatch());
        Assert.Empty(GuardBench.Run(20, 300, Coarse, guard: guard).Changes);

        static void Coarse(double t, ref EngineFrame frame)
        {
            double phase = t % 15, turned = Math.Clamp((phase - 6) / 0.4, 0, 1) * Math.Clamp((15 - phase) / 0.4, 0, 1);
            double g = turned == 0 ? 0.01 * Math.Sin(31 * t) : turned * ((1.1 * Math.Sin(t)) + (0.05 * Math.Sin(47 * t)));
            frame[Role.LateralG] = Math.Round(g / 0.05) * 0.05;
        }
    }

    [Fact]
    public void A_fault_that_lasts_to_the_end_of_the_log_is_ended_there()
    {
        GuardBench bench = GuardBench.Run(20, 30, (double t, ref EngineFrame frame) =>
        {
            if (t >= 25) frame[Role.OilPressure] = 2500;
        });
        SensorFault fault = OneFault(bench, Role.OilPressure, SensorFaultKind.Rail);
        Assert.Equal(EventEnd.LogEnded, fault.Ending);
        Assert.Equal(30, fault.End.Seconds, 0.01);
    }

    [Fact]
    public void A_channel_that_the_log_does_not_have_is_no_fault()
    {
        GuardBench bench = GuardBench.Run(20, 60, (double _, ref EngineFrame frame) => frame[Role.LateralG] = frame[Role.LongitudinalG] = double.NaN);
        Assert.Empty(bench.Changes);
    }

    [Fact]
    public void A_held_reading_is_not_judged_again()
    {
        // Pressure at 2 Hz among frames at 20 Hz: nine of ten are held ones.
        int i = 0;
        double held = double.NaN;
        GuardBench bench = GuardBench.Run(20, 120, (double _, ref EngineFrame frame) =>
        {
            if (i++ % 10 == 0) held = frame.PressureKpa;
            else frame.Fresh &= ~(1u << (int)Role.OilPressure);
            frame[Role.OilPressure] = held;
        });
        AssertNoFault(bench);
    }

    [Fact]
    public void What_another_guard_learned_of_the_channels_is_taken_over()
    {
        // Two-second updates: stuck to one who does not know the channel, its way to one who does.
        double held = double.NaN;
        GuardBench learned = GuardBench.Run(20, 600, (double t, ref EngineFrame frame) => Slow(t, ref frame));
        Assert.Equal(SensorFaultKind.Stuck, learned.Raised.First().Kind);
        var guard = new SensorGuard(SensorGuardOptions.Default);
        guard.LearnFrom(learned.Guard, new ClockWatch());
        held = double.NaN;
        GuardBench known = GuardBench.Run(20, 60, (double t, ref EngineFrame frame) => Slow(t, ref frame), guard: guard);
        Assert.Empty(known.Changes);
        Assert.Empty(known.Masked(Role.OilPressure).Select(frame => frame.At.Seconds));

        void Slow(double t, ref EngineFrame frame)
        {
            if (Math.Round(t * 20) % 40 == 0 || double.IsNaN(held)) held = frame.PressureKpa;
            frame[Role.OilPressure] = held;
        }
    }

    [Fact]
    public void Whatever_comes_raise_and_end_alternate_and_what_is_masked_is_absent()
    {
        Gen.Int[0, int.MaxValue].Holds(200, seed =>
        {
            var random = new Random(seed);
            double spoilUntil = 0;
            int how = 0;
            Role role = Role.OilPressure;
            double held = 0;
            GuardBench bench = GuardBench.Run(20, 30, (double t, ref EngineFrame frame) =>
            {
                if (random.Next(25) == 0)
                {
                    spoilUntil = t + (3 * random.NextDouble() * random.NextDouble());
                    how = random.Next(5);
                    role = (Role)random.Next(5);
                    held = frame[role];
                }

                if (t >= spoilUntil) return;
                frame[role] = how switch { 0 => 0, 1 => double.NaN, 2 => held, 3 => 1e5 * (random.NextDouble() - 0.5), _ => frame[role] * 3 };
            }, seed);
            var open = new Dictionary<(Role, SensorFaultKind, bool), SensorFault>();
            foreach (SensorFault change in bench.Changes)
            {
                // One life each: wild readings (spikes that may turn out to be a loose connection), offsets, and the rest.
                bool isWild = change.Kind is SensorFaultKind.Spikes or SensorFaultKind.Slew;
                var key = (change.Role, isWild ? SensorFaultKind.Spikes : change.Kind is SensorFaultKind.Offset or SensorFaultKind.Time or SensorFaultKind.Gap ? change.Kind : SensorFaultKind.Dropout, change is { Kind: SensorFaultKind.Offset, Count: 0 });
                Assert.True(change.Start <= change.Raised);
                if (change.Ending == EventEnd.Open) Assert.True(open.TryAdd(key, change));
                else
                {
                    Assert.True(open.Remove(key, out SensorFault raised));
                    Assert.Equal(raised.Start, change.Start);
                    if (!isWild) Assert.Equal((raised.Raised, raised.Kind), (change.Raised, change.Kind));
                    Assert.True(change.End >= change.Start);
                }
            }

            Assert.Empty(open);
            foreach (EngineFrame frame in bench.Frames)
                foreach (Role each in Roles.All)
                    Assert.True(!frame.IsMasked(each) || double.IsNaN(frame[each]), $"{each} at {frame.At.Seconds} s");
        });
    }

    [Fact]
    public void No_frame_allocates()
    {
        EngineFrame[] frames = [.. GuardBench.Healthy(20, 60)];
        for (int i = 400; i < 440; i++) frames[i][Role.OilPressure] = 0;
        for (int i = 600; i < 700; i += 8) frames[i][Role.LateralG] = 9;
        var guard = new SensorGuard(SensorGuardOptions.Default);
        int changes = Feed(0);
        // The runtime itself allocates on this thread when it recompiles what has become hot: one of several attempts is free of that.
        long least = long.MaxValue;
        for (int round = 1; round < 20;)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            for (int of = 0; of < 5 && round < 20; of++) changes += Feed(round++);
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        Assert.Equal(0, least);
        Assert.InRange(changes, 40, 1000);

        int Feed(int round)
        {
            int count = 0;
            for (int i = 0; i < frames.Length; i++)
            {
                EngineFrame frame = frames[i];
                frame.At = frame.At.AddSeconds(round * 60.05);
                guard.Apply(ref frame);
                count += guard.Changes.Count;
            }

            return count;
        }
    }

    [Fact]
    public void Options_out_of_range_are_named_with_what_is_allowed()
    {
        SensorGuardOptions options = SensorGuardOptions.Default with { FastestFallS = 1, StuckAfterS = double.NaN };
        Assert.Equal(
            [
                "limits.sensor.fastest_fall_s = 1 is out of range; 0.005 to 0.2 is allowed",
                "limits.sensor.stuck_after_s = NaN is out of range; 0.2 to 60 is allowed",
            ],
            options.Problems(),
            StringComparer.Ordinal);
        Assert.Empty(SensorGuardOptions.Default.Problems());
    }
}
