using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Reading;
using OilWatch.Tests.Reading;

namespace OilWatch.Tests.Frames;

public sealed class FrameAlignerTests
{
    private static readonly LogTime Zero = new(0);

    // The channel's index is its place in the list.
    private static ChannelPlan Plan(params Role[] roles) => new(
        [.. roles.Select((role, i) => new ChannelChoice(role, new LogChannel(i, role.Key(), role.Unit()), 1, 0, role.Unit(), "test"))], []);

    private static (FrameAligner Aligner, FrameList Frames) Make(params Role[] roles)
    {
        var frames = new FrameList();
        return (new FrameAligner(Plan(roles), AlignOptions.Default, frames), frames);
    }

    /// <summary>Four seconds of pressure and engine speed at 100 Hz, with readings of one of them replaced.</summary>
    private static FrameList TakenTogether(Predicate<int> isReplaced, Role role, double by)
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 400; i++)
        {
            double kpa = isReplaced(i) && role == Role.OilPressure ? by : 400 + (i % 2), rpm = isReplaced(i) && role == Role.EngineSpeed ? by : 5000 + (10 * (i % 2));
            Record(aligner, i * 0.01, (0, kpa), (1, rpm));
        }
        aligner.Complete();
        return frames;
    }

    private static bool IsUsual(Role role, double value) => role == Role.OilPressure ? value is >= 400 and <= 401 : value is >= 5000 and <= 5010;

    private static LogTime At(double seconds) => LogTime.FromSeconds(seconds);

    private static void Record(FrameAligner aligner, double atS, params (int Channel, double Value)[] readings)
    {
        foreach ((int channel, double value) in readings) aligner.Add(At(atS), channel, value);
        aligner.EndRecord(At(atS));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_slow_channel_written_on_every_row_has_no_value_where_it_is_on_none_and_one_written_seldom_keeps_it(bool isRepeated)
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.OilTemperature);
        for (int i = 0; i < 1000; i++)
        {
            bool written = i is < 900 or >= 925 && (isRepeated || i % 5 == 0);
            if (written) Record(aligner, i * 0.04, (0, 400 + i), (1, 90 + (i / 5)));
            else Record(aligner, i * 0.04, (0, 400 + i));
        }
        aligner.Complete();
        double[] values = [.. frames.Of(Role.OilTemperature)];
        Assert.Equal(isRepeated ? 23 : 0, values.Skip(900).Take(25).Count(double.IsNaN));
        Assert.DoesNotContain(double.NaN, values.Take(900));
        Assert.DoesNotContain(double.NaN, values.Skip(925));
    }

    [Fact]
    public void A_frame_says_which_roles_are_known_to_be_repeated_on_every_record()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.OilTemperature);
        for (int i = 0; i < 400; i++) Record(aligner, i * 0.04, (0, 400 + i), (1, 90 + (i / 5)));
        aligner.Complete();
        Assert.Equal(0u, frames.All[100].Held);
        Assert.Equal(1u << (int)Role.OilTemperature, frames.All[^1].Held);
    }

    [Fact]
    public void Equal_readings_taken_together_stay_what_they_were()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.LateralG);
        for (int i = 0; i < 60; i++)
        {
            if (i % 3 == 2) Record(aligner, i * 0.02, (0, 400 + i), (1, 0.7371));
            else Record(aligner, i * 0.02, (1, 0.7371));
        }
        aligner.Complete();
        Assert.All(frames.Of(Role.LateralG), value => Assert.Equal(0.7371, value, 0.0));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void A_row_at_once_is_the_same_as_its_readings_one_by_one(int seed)
    {
        // Steady and unsteady intervals, gaps, leaps and steps back in time; values that repeat, are absent or are none.
        int[] channels = [0, 1, 2, 3];
        (FrameAligner whole, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.Beacon);
        (FrameAligner single, FrameList expected) = Make(Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.Beacon);
        var random = new Random(seed);
        long at = 0;
        double[] values = new double[channels.Length];
        for (int row = 0; row < 20_000; row++)
        {
            at += row < 2 ? 0 : random.Next(1000) switch { 0 => -2_000_000_000, 1 => 90_000_000_000, < 10 => random.Next(-5_000_000, 400_000_000), < 200 => 0, _ => 10_000_000 };
            for (int i = 0; i < values.Length; i++)
            {
                if (random.Next(20) == 0) values[i] = BitConverter.Int64BitsToDouble(IRowSink.AbsentBits);
                else if (random.Next(50) == 0) values[i] = double.NaN;
                else if (random.Next(4) >= i) values[i] = Math.Round(400 + (random.NextDouble() * 20), i == 1 ? 0 : 2);
            }
            whole.AddRow(new LogTime(at), channels, values);
            for (int i = 0; i < values.Length; i++)
                if (BitConverter.DoubleToInt64Bits(values[i]) != IRowSink.AbsentBits) single.Add(new LogTime(at), i, values[i]);
            single.EndRecord(new LogTime(at));
        }
        whole.Complete();
        single.Complete();
        Assert.True(frames.All.Count > 1000);
        Assert.Equal(expected.All, frames.All);
        Assert.Equal((single.DroppedBehind, single.DroppedLeaps, single.Frames), (whole.DroppedBehind, whole.DroppedLeaps, whole.Frames));
        foreach (Role role in (Role[])[Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.Beacon])
            Assert.Equal((single.Samples(role), single.IntervalS(role), single.GapS(role)), (whole.Samples(role), whole.IntervalS(role), whole.GapS(role)));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(700_000)]
    public void Records_of_one_tick_give_the_same_frames_in_any_order(int apartNs)
    {
        // Three messages at 50, 50 and 5 Hz, sent at once or one after the other.
        FrameList inOrder = Ticks([0, 1, 2]);
        Assert.Equal(200, inOrder.All.Count);
        Assert.All(inOrder.All, frame => Assert.Equal(frame.PressureKpa + 5000, frame.SpeedRpm));
        Assert.All(inOrder.All, frame => Assert.Equal(frame.IsFresh(Role.OilTemperature), frame.PressureKpa % 10 == 0));
        foreach (int[] order in (int[][])[[0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]])
        {
            FrameList frames = Ticks(order);
            Assert.Equal(inOrder.All.Select(frame => (frame.PressureKpa, frame.SpeedRpm, frame.OilTemperatureC, frame.Fresh)),
                frames.All.Select(frame => (frame.PressureKpa, frame.SpeedRpm, frame.OilTemperatureC, frame.Fresh)));
            if (apartNs == 0) Assert.Equal(inOrder.All, frames.All);
        }

        FrameList Ticks(int[] order)
        {
            (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed, Role.OilTemperature);
            for (int i = 0; i < 200; i++)
            {
                long at = i * 20_000_000L;
                foreach (int channel in order)
                {
                    if (channel == 2 && i % 10 != 0) continue;
                    aligner.Add(new LogTime(at), channel, channel switch { 0 => i, 1 => 5000 + i, _ => 90 + (i / 10) });
                    aligner.EndRecord(new LogTime(at));
                    at += apartNs;
                }
            }
            aligner.Complete();
            return frames;
        }
    }

    [Fact]
    public void A_frame_is_of_the_last_instant_that_it_has_a_reading_of()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        Record(aligner, 1, (0, 400));
        Record(aligner, 1.0015, (1, 5000));
        Record(aligner, 1.0025, (1, 6000));              // beyond the tick: the next frame's
        Record(aligner, 1.1, (0, 410));
        aligner.Complete();

        Assert.Equal([1.0015, 1.1], frames.TimesS);
        Assert.Equal([5000, 6000], frames.Of(Role.EngineSpeed));
    }

    [Fact]
    public void A_frame_waits_for_no_more_than_the_first_stamp_beyond_its_tick_wanted_or_not()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        Record(aligner, 1, (0, 400));
        aligner.Passed(At(1.002));
        Assert.Empty(frames.All);
        aligner.Passed(At(1.0021));
        Assert.Equal([1.0], frames.TimesS);
        Record(aligner, 1.05, (0, 410));
        Record(aligner, 1.05, (1, 5000));
        Record(aligner, 1.06, (1, 5100));
        Assert.Equal([1.0, 1.05], frames.TimesS);
        Assert.Equal([double.NaN, 5000], frames.Of(Role.EngineSpeed));
    }

    [Fact]
    public void The_row_of_a_table_makes_its_frame_at_once_and_the_last_frame_of_a_log_comes_out()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 60; i++) Record(aligner, i * 0.1, (0, 400), (1, 5000));
        Assert.Equal(60, frames.All.Count);
        Record(aligner, 6.0, (0, 410));
        Record(aligner, 6.0, (1, 5000));                 // from here on records share a tick
        Record(aligner, 6.1, (0, 420));
        Assert.Equal(61, frames.All.Count);
        aligner.Complete();
        Assert.Equal(420, frames.All[^1].PressureKpa);
        aligner.Complete();
        Assert.Equal(62, frames.All.Count);
    }

    [Fact]
    public void A_frame_is_made_whenever_a_record_carries_the_pace_role()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i <= 20; i++)
        {
            if (i % 2 == 0) Record(aligner, i * 0.05, (0, 400 + i), (1, 5000));
            else Record(aligner, i * 0.05, (1, 5000));
        }
        aligner.Complete();

        Assert.Equal([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0], frames.TimesS);
        Assert.Equal([400, 402, 404, 406, 408, 410, 412, 414, 416, 418, 420], frames.Of(Role.OilPressure));
        Assert.Equal(11, aligner.Frames);
        Assert.Equal(21, aligner.Samples(Role.EngineSpeed));
    }

    [Fact]
    public void A_faster_channel_gives_its_mean_since_the_last_frame()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.LateralG, Role.Lap);
        Record(aligner, 0, (0, 400), (1, 0), (2, 1));
        for (int i = 1; i <= 4; i++) Record(aligner, i * 0.025, i == 4 ? [(0, 400), (1, i), (2, i)] : [(1, i), (2, i)]);
        aligner.Complete();

        Assert.Equal((1 + 2 + 3 + 4) / 4.0, frames.All[1].LateralG);
        Assert.Equal(4, frames.All[1][Role.Lap]);            // a lap number and a half is no lap number
    }

    [Theory]
    [InlineData(20, 1)]
    [InlineData(50, 1)]
    [InlineData(70, 1)]
    [InlineData(100, 4)]
    [InlineData(200, 8)]
    [InlineData(1000, 39)]
    public void A_pace_channel_of_more_than_74_Hz_is_taken_together_into_25_frames_a_second(double hz, int readings)
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure);
        for (int i = 0; i < 1000; i++) Record(aligner, i / hz, (0, 400 + (i % readings)));

        // The first step says how fast the channel is; by the second frame that is known.
        aligner.Complete();
        Assert.Equal(readings / hz, frames.All[^1].At.SecondsSince(frames.All[^2].At), 1e-9);
        Assert.InRange(frames.All[^1].PressureKpa, 400 + ((readings - 1) / 2.0) - 1e-9, 400 + ((readings - 1) / 2.0) + 1e-9);
        Assert.InRange(frames.All.Count, (1000 / readings) - 1, (1000 / readings) + 2);
    }

    [Theory]
    [InlineData(Role.OilPressure, 0)]
    [InlineData(Role.OilPressure, 600)]
    [InlineData(Role.EngineSpeed, 0)]
    [InlineData(Role.EngineSpeed, 12_000)]
    public void A_wild_reading_among_those_taken_together_is_not_hidden_in_their_mean(Role role, double wild)
    {
        for (int place = 201; place < 205; place++)         // frames are of the readings 201 to 204, 205 to 208, ...
        {
            FrameList frames = TakenTogether(i => i == place, role, wild);
            Assert.Equal(wild, Assert.Single(frames.Of(role)[2..], value => !IsUsual(role, value)));
        }
    }

    [Theory]
    [InlineData(Role.OilPressure)]
    [InlineData(Role.EngineSpeed)]
    public void Where_a_sensor_drops_out_between_readings_taken_together_no_frame_lies_half_way(Role role)
    {
        for (int from = 201; from < 205; from++)
        {
            FrameList frames = TakenTogether(i => i >= from && i < from + 50, role, 0);
            Assert.All(frames.Of(role), value => Assert.True(value == 0 || IsUsual(role, value), $"{value}"));
            Assert.InRange(frames.Of(role).Count(value => value == 0), 11, 14);
        }
    }

    [Fact]
    public void A_beacon_pulse_of_one_reading_is_not_lost_among_readings_taken_together()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.Beacon);
        for (int i = 0; i < 200; i++) Record(aligner, i * 0.01, (0, 400 + (i % 3)), (1, i == 102 ? 1 : 0));
        aligner.Complete();

        Assert.Single(frames.Of(Role.Beacon), value => value == 1);
    }

    [Theory]
    [InlineData(new[] { Role.EngineSpeed, Role.OilPressure, Role.LateralG }, Role.OilPressure)]
    [InlineData(new[] { Role.LateralG, Role.EngineSpeed }, Role.EngineSpeed)]
    [InlineData(new[] { Role.VehicleSpeed, Role.CrankcasePressure, Role.LateralG }, Role.LateralG)]
    [InlineData(new[] { Role.VehicleSpeed, Role.CrankcasePressure }, Role.CrankcasePressure)]
    [InlineData(new[] { Role.Throttle, Role.VehicleSpeed }, Role.VehicleSpeed)]
    [InlineData(new[] { Role.Throttle, Role.Lap }, Role.Throttle)]
    public void Oil_pressure_sets_the_pace_where_there_is_one_and_the_most_telling_role_otherwise(Role[] roles, Role pace)
    {
        (FrameAligner aligner, FrameList frames) = Make(roles);
        int paced = Array.IndexOf(roles, pace);
        // Every role ticks at 50 Hz in records of its own; only those of the pace role make frames.
        for (int i = 0; i < 50 * roles.Length; i++)
            Record(aligner, i * 0.02 / roles.Length, (i % roles.Length, 1 + i));
        aligner.Complete();

        Assert.Equal(50, frames.All.Count);
        Assert.All(frames.All, frame => Assert.True(frame.IsFresh(pace)));
        double[] expected = [.. Enumerable.Range(0, 50).Select(i => 1.0 + paced + (i * roles.Length))];
        Assert.Equal(expected, frames.Of(pace));
    }

    [Theory]
    [InlineData(Role.EngineSpeed, 20, 0.3)]            // fast_stale_s
    [InlineData(Role.EngineSpeed, 4, 0.875)]           // three and a half of its own intervals
    [InlineData(Role.LateralG, 10, 0.35)]
    [InlineData(Role.Latitude, 10, 1.5)]
    [InlineData(Role.OilTemperature, 1, 10)]           // slow_stale_s
    [InlineData(Role.WaterTemperature, 5, 10)]
    [InlineData(Role.BatteryVoltage, 2, 10)]
    public void A_silent_channel_is_held_until_it_is_stale(Role role, double hz, double staleS)
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, role);
        double lastS = 0;
        for (int i = 0; i < 20 * 40; i++)
        {
            double at = i * 0.05;
            bool ticks = at < 20 && Math.Abs((at * hz) - Math.Round(at * hz)) < 1e-6;
            if (ticks) lastS = at;
            Record(aligner, at, ticks ? [(0, 400), (1, 7)] : [(0, 400)]);
        }
        aligner.Complete();

        double lastHeld = frames.All.Last(frame => double.IsFinite(frame[role])).At.Seconds;
        Assert.InRange(lastHeld - lastS, staleS - 0.05 - 1e-6, staleS + 1e-6);
        Assert.Equal(40 - lastS - staleS, aligner.GapS(role), 0.11);
    }

    [Fact]
    public void A_lap_number_is_held_for_as_long_as_the_log_goes_on()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.Lap);
        Record(aligner, 0, (0, 400), (1, 3));
        for (int i = 1; i < 4000; i++) Record(aligner, i * 0.05, (0, 400));
        aligner.Complete();

        Assert.All(frames.All, frame => Assert.Equal(3, frame[Role.Lap]));
        Assert.Equal(0, aligner.GapS(Role.Lap));
    }

    [Fact]
    public void Frames_go_on_without_the_pace_role_when_it_falls_silent()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 60; i++)
            Record(aligner, i * 0.05, i < 20 ? [(0, 400), (1, 5000)] : [(1, 5000)]);
        aligner.Complete();

        EngineFrame[] silent = [.. frames.All.Where(frame => frame.At.Seconds > 0.96)];
        Assert.All(silent, frame => Assert.True(double.IsNaN(frame.PressureKpa)));
        Assert.All(silent, frame => Assert.Equal(5000, frame.SpeedRpm));
        Assert.InRange(silent[0].At.Seconds, 1.25, 1.35);                                  // 0.3 s after its last reading
        Assert.All(silent.Skip(1).Zip(silent), pair => Assert.Equal(0.1, pair.First.At.SecondsSince(pair.Second.At), 9));
        Assert.InRange(aligner.GapS(Role.OilPressure), 1.6, 2.01);
    }

    [Fact]
    public void A_pace_channel_that_never_says_anything_does_not_hold_up_the_others()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 100; i++) Record(aligner, i * 0.05, (1, 5000));
        aligner.Complete();

        Assert.InRange(frames.All.Count, 45, 50);
        Assert.All(frames.All, frame => Assert.True(double.IsNaN(frame.PressureKpa)));
        Assert.Equal(0, aligner.Samples(Role.OilPressure));
        Assert.True(double.IsNaN(aligner.IntervalS(Role.OilPressure)));
    }

    [Fact]
    public void A_reading_a_little_behind_counts_as_now_and_one_far_behind_is_dropped_and_counted()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        Record(aligner, 1.00, (0, 400), (1, 5000));
        Record(aligner, 0.80, (1, 6000));                        // 0.2 s behind: within disorder_s
        Record(aligner, 0.70, (1, 9000));                        // 0.3 s behind: dropped
        Record(aligner, 1.05, (0, 410));
        aligner.Complete();

        Assert.Equal(1, aligner.DroppedBehind);
        Assert.Equal([1.00, 1.05], frames.TimesS);
        Assert.Equal([5000, 6000], frames.Of(Role.EngineSpeed));
    }

    [Fact]
    public void Frames_never_go_back_whatever_the_stamps_do()
    {
        var random = new Random(20261125);
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        double at = 0;
        for (int i = 0; i < 20_000; i++)
        {
            at += random.Next(20) switch { 0 => -0.5 * random.NextDouble(), 1 => 3 * random.NextDouble(), 2 => 0, _ => 0.05 * random.NextDouble() };
            Record(aligner, at, random.Next(3) == 0 ? [(0, 400)] : [(0, 400), (1, 5000)]);
        }
        aligner.Complete();

        Assert.All(frames.All.Skip(1).Zip(frames.All), pair => Assert.True(pair.First.At > pair.Second.At));
    }

    [Fact]
    public void One_damaged_stamp_far_ahead_does_not_hide_the_rest_of_the_log()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 200; i++)
        {
            if (i == 100) Record(aligner, 1_000_000, (0, 1), (1, 2));
            Record(aligner, i * 0.05, (0, 400), (1, 5000));
        }
        aligner.Complete();

        Assert.Equal(200, frames.All.Count);
        Assert.Equal(199 * 0.05, frames.All[^1].At.Seconds, 9);
        Assert.All(frames.All, frame => Assert.Equal(400, frame.PressureKpa));
        Assert.Equal(1, aligner.DroppedLeaps);
    }

    [Fact]
    public void A_long_pause_that_the_log_goes_on_from_is_followed()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        for (int i = 0; i < 100; i++) Record(aligner, i * 0.05, (0, 400), (1, 5000));
        for (int i = 0; i < 100; i++) Record(aligner, 600 + (i * 0.05), (0, 410), (1, 5100));

        // The first record after the pause is what the second one confirms.
        aligner.Complete();
        Assert.Equal(199, frames.All.Count);
        Assert.Equal(600.05, frames.All[100].At.Seconds, 9);
        Assert.Equal(410, frames.All[100].PressureKpa);
        Assert.Equal(0, aligner.DroppedLeaps);
        Assert.Equal(0, aligner.DroppedBehind);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_reading_that_says_no_value_ends_the_held_one_at_once(double none)
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        Record(aligner, 0, (0, 400), (1, 5000));
        Record(aligner, 0.05, (0, 400), (1, none));
        Record(aligner, 0.10, (0, 400));
        Record(aligner, 0.15, (0, none), (1, 5200));
        aligner.Complete();

        Assert.Equal([5000, double.NaN, double.NaN, 5200], frames.Of(Role.EngineSpeed));
        Assert.Equal([400, 400, 400, double.NaN], frames.Of(Role.OilPressure));
    }

    [Fact]
    public void Scale_and_offset_of_the_plan_give_the_roles_unit()
    {
        var frames = new FrameList();
        var plan = new ChannelPlan(
            [
                // psi and °F. Factors: check-values 12 (psi 6.8947572931683613 kPa; 212 °F 100 °C), COMPUTED.
                new ChannelChoice(Role.OilPressure, new LogChannel(3, "Oil", "psi"), 6.8947572931683613, 0, "psi", "test"),
                new ChannelChoice(Role.OilTemperature, new LogChannel(1, "Temp", "degF"), 1 / 1.8, -32 / 1.8, "degF", "test"),
            ],
            []);
        var aligner = new FrameAligner(plan, AlignOptions.Default, frames);
        aligner.Add(Zero, 3, 60);
        aligner.Add(Zero, 1, 212);
        aligner.Add(Zero, 0, 999);             // a channel that nobody chose
        aligner.Add(Zero, 4000, 999);
        aligner.EndRecord(Zero);
        aligner.Complete();

        Assert.Equal(413.68543759, frames.All[0].PressureKpa, 8);
        Assert.Equal(100, frames.All[0].OilTemperatureC, 9);
    }

    [Fact]
    public void A_role_is_fresh_only_where_it_has_a_reading_of_its_own()
    {
        (FrameAligner aligner, FrameList frames) = Make(Role.OilPressure, Role.EngineSpeed);
        Record(aligner, 0, (0, 400), (1, 5000));
        Record(aligner, 0.05, (0, 400));
        Record(aligner, 0.07, (1, 5000));
        Record(aligner, 0.10, (0, 400));
        aligner.Complete();

        Assert.Equal([true, false, true], frames.All.Select(frame => frame.IsFresh(Role.EngineSpeed)));
    }

    [Fact]
    public void The_typical_interval_hardly_moves_for_a_gap()
    {
        (FrameAligner aligner, _) = Make(Role.OilPressure, Role.EngineSpeed, Role.Throttle);
        for (int i = 0; i < 2000; i++)
        {
            double at = (i * 0.05) + (i > 1990 ? 20 : 0);
            Record(aligner, at, i % 5 == 0 ? [(0, 400), (1, 5000)] : [(0, 400)]);
        }
        aligner.Complete();

        Assert.Equal(0.05, aligner.IntervalS(Role.OilPressure), 0.003);
        Assert.Equal(0.25, aligner.IntervalS(Role.EngineSpeed), 0.015);
        Assert.True(double.IsNaN(aligner.IntervalS(Role.Throttle)));
    }

    [Fact]
    public void A_notice_of_lost_data_is_counted()
    {
        (FrameAligner aligner, _) = Make(Role.OilPressure);
        Record(aligner, 0, (0, 400));
        aligner.DataLost(At(0.01));
        aligner.DataLost(At(0.02));
        aligner.Complete();
        Assert.Equal(2, aligner.LostNotices);
    }

    [Fact]
    public void A_log_without_chosen_channels_gives_no_frames()
    {
        (FrameAligner aligner, FrameList frames) = Make();
        Record(aligner, 0, (0, 400));
        Record(aligner, 10, (5, 400));
        aligner.Complete();
        Assert.Empty(frames.All);
    }

    [Fact]
    public void No_reading_and_no_frame_allocates()
    {
        var counted = new FrameCount();
        var aligner = new FrameAligner(Plan(Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.OilTemperature), AlignOptions.Default, counted);
        Feed(0, 1000);
        long before = GC.GetAllocatedBytesForCurrentThread();
        Feed(1000, 50_000);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
        Assert.Equal(51_000, counted.Frames);

        void Feed(int from, int count)
        {
            for (int i = from; i < from + count; i++)
            {
                LogTime at = new(i * 20_000_000L);
                aligner.Add(at, 0, 400);
                aligner.Add(at, 1, i % 7 == 0 ? double.NaN : 5000);
                aligner.Add(at, 2, 0.5);
                if (i % 50 == 0) aligner.Add(at, 3, 100);
                aligner.EndRecord(at);
            }
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(3, 1, 7)]
    [InlineData(64, 65)]
    public void The_same_bytes_give_the_same_frames_in_any_pieces(params int[] sizes)
    {
        var text = new StringBuilder("Time [s],Oil Press [kPa],RPM,Lat G [g]\n");
        for (int i = 0; i < 300; i++)
            text.Append(CultureInfo.InvariantCulture, $"{i * 0.05:F2},{400 + (i % 13)},{(i % 3 == 0 ? "" : (5000 + i).ToString(CultureInfo.InvariantCulture))},{0.01 * (i % 90)}\n");
        byte[] bytes = Encoding.UTF8.GetBytes(text.ToString());

        FrameList whole = Read(), pieces = Read(sizes);
        Assert.Equal(300, whole.All.Count);
        Assert.Equal(Bytes(whole), Bytes(pieces));

        FrameList Read(params int[] pieceSizes)
        {
            var frames = new FrameList();
            ILogReader reader = AtOnce.Wait(LogFile.OpenAsync(new LogSource("a.csv", () => new ChunkedStream(bytes, pieceSizes))));
            ChannelPlan plan = RoleFinder.Find(reader.Channels, CarSettings.None, _ => null);
            var aligner = new FrameAligner(plan, AlignOptions.Default, frames);
            AtOnce.Wait(reader.ReadAsync([.. plan.Choices.Select(choice => choice.Channel.Index)], aligner));
            aligner.Complete();
            return frames;
        }
    }

    private static byte[] Bytes(FrameList frames) => MemoryMarshal.AsBytes(CollectionsMarshal.AsSpan(frames.All)).ToArray();
}
