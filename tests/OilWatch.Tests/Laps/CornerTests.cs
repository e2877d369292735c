using CsCheck;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Tests.Laps;

public sealed class CornerTests
{
    // Where the corners of TestDrive.Circuit lie, m after the line.
    private static readonly (double From, double To)[] Places = [(400, 550), (900, 980), (980, 1060), (1560, 1770), (2200, 2400)];

    private static readonly TestDrive Drive = new() { Fill = TestDrive.LapChannel() };

    private static void AssertLabels(IEnumerable<string> expected, IEnumerable<string?> actual) =>
        Assert.Equal(string.Join(' ', expected), string.Join(' ', actual));

    private static void AssertEveryTimedLap(LapStage stage, string[] labels, int from = 0)
    {
        Dictionary<int, string[]> byLap = TestDrive.LabelsByLap(stage);
        int[] timed = [.. stage.Laps.Where(lap => lap.Kind == LapKind.Timed).Skip(from).Select(lap => lap.Number)];
        Assert.NotEmpty(timed);
        Assert.All(timed, lap => AssertLabels(labels, byLap[lap]));
    }

    [Fact]
    public void Corners_have_the_same_labels_on_every_lap()
    {
        LapStage stage = TestDrive.Replay(Drive.Run().Frames, LapSource.LapChannel);
        AssertLabels(TestDrive.CircuitLabels, stage.Corners.Select(corner => corner.Label));
        AssertEveryTimedLap(stage, TestDrive.CircuitLabels);
        Dictionary<int, string[]> byLap = TestDrive.LabelsByLap(stage);
        AssertLabels(["C4L", "C5R"], byLap[0]);     // the out lap, counted back from the line
        AssertLabels(["C1L", "C2R", "C3L"], byLap[7]);     // the in lap
    }

    [Fact]
    public void Corners_lie_where_they_were_laid_out()
    {
        Corner[] corners = [.. TestDrive.Replay(Drive.Run().Frames, LapSource.LapChannel).Corners];
        for (int i = 0; i < Places.Length; i++)
        {
            Assert.Equal(Places[i].From, corners[i].FromM, 15.0);
            Assert.Equal(Places[i].To, corners[i].ToM, 15.0);
        }
    }

    [Fact]
    public void Live_labels_begin_with_the_lap_after_the_first_timed_one_and_stay()
    {
        LapStage stage = TestDrive.Live(Drive.Run().Frames, LapSource.LapChannel);
        Assert.All(stage.Passes.Where(pass => pass.Lap <= 1), pass => Assert.Null(pass.Corner));
        AssertEveryTimedLap(stage, TestDrive.CircuitLabels, from: 1);
    }

    [Fact]
    public void One_timed_lap_is_enough()
    {
        LapStage stage = TestDrive.Replay((Drive with { Paces = [1] }).Run().Frames, LapSource.LapChannel);
        AssertEveryTimedLap(stage, TestDrive.CircuitLabels);
    }

    [Fact]
    public void Out_and_in_laps_alone_give_no_labels()
    {
        LapStage stage = TestDrive.Replay((Drive with { Paces = [] }).Run().Frames, LapSource.LapChannel);
        Assert.Equal([LapKind.Out, LapKind.In], stage.Laps.Select(lap => lap.Kind));
        Assert.Empty(stage.Corners);
        Assert.NotEmpty(stage.Passes);
        Assert.All(stage.Passes, pass => Assert.Null(pass.Corner));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Rate_does_not_change_labels_or_times(bool distance)
    {
        LapStage slow = TestDrive.Replay((Drive with { Hz = 10, HasSpeed = distance }).Run().Frames, LapSource.LapChannel);
        LapStage fast = TestDrive.Replay((Drive with { Hz = 50, HasSpeed = distance }).Run().Frames, LapSource.LapChannel);
        Assert.Equal(fast.Passes.Select(pass => (pass.Lap, pass.Corner)), slow.Passes.Select(pass => (pass.Lap, pass.Corner)));
        for (int i = 0; i < fast.Passes.Count; i++)
        {
            // A tenth of a second is one frame at the slower rate; the bounds lie on straight lines between frames.
            Assert.Equal(fast.Passes[i].Entry.Seconds, slow.Passes[i].Entry.Seconds, 0.075);
            Assert.Equal(fast.Passes[i].Exit.Seconds, slow.Passes[i].Exit.Seconds, 0.075);
            Assert.Equal(fast.Passes[i].SustainedS, slow.Passes[i].SustainedS, 0.075);
            Assert.Equal(fast.Passes[i].MeanLateralG!.Value, slow.Passes[i].MeanLateralG!.Value, 0.02);
        }
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Turning_the_sign_of_lateral_acceleration_swaps_left_and_right_only(bool distance)
    {
        TestDrive drive = Drive with { NoiseG = 0.04, HasSpeed = distance };
        LapStage one = TestDrive.Replay(drive.Run().Frames, LapSource.LapChannel);
        LapStage other = TestDrive.Replay((drive with { Sign = -1 }).Run().Frames, LapSource.LapChannel);
        Assert.NotEmpty(one.Passes);
        Assert.Equal(
            one.Passes.Select(pass => pass with
            {
                Direction = pass.Direction == LoadDirection.Left ? LoadDirection.Right : LoadDirection.Left,
                Corner = pass.Corner is { } label ? label[..^1] + (label[^1] == 'L' ? 'R' : 'L') : null,
            }),
            other.Passes);
    }

    [Fact]
    public void Noise_and_more_laps_do_not_renumber()
    {
        Gen.Select(Gen.Int[1, 9], Gen.Int[1, 1_000_000], Gen.Double[0, 0.06], Gen.Double[0, 0.01]).Sample(
            (laps, seed, noise, error) =>
            {
                var random = new Random(seed);
                double[] paces = [.. Enumerable.Range(0, laps).Select(_ => 0.94 + (0.06 * random.NextDouble()))];
                double[] errors = [.. Enumerable.Range(0, laps + 2).Select(_ => error * ((2 * random.NextDouble()) - 1))];
                TestDrive drive = Drive with { Paces = paces, Seed = seed, NoiseG = noise, Hz = 10, SpeedError = lap => errors[lap] };
                AssertEveryTimedLap(TestDrive.Replay(drive.Run().Frames, LapSource.LapChannel), TestDrive.CircuitLabels);
                if (laps > 1) AssertEveryTimedLap(TestDrive.Live(drive.Run().Frames, LapSource.LapChannel), TestDrive.CircuitLabels, from: 1);
            },
            seed: "0000000000001",
            iter: 15);
    }

    [Theory]
    [InlineData(430, new[] { "C1L", "C2R", "C3L", "C4L", "C5R" })]     // most of the corner after the line: the first
    [InlineData(520, new[] { "C1R", "C2L", "C3L", "C4R", "C5L" })]     // most of it before: the last
    public void The_line_may_lie_inside_a_corner(double line, string[] labels)
    {
        TestDrive drive = Drive with { LineM = line };
        LapStage stage = TestDrive.Replay(drive.Run().Frames, LapSource.LapChannel);
        AssertLabels(labels, stage.Corners.Select(corner => corner.Label));
        Corner wrapped = Assert.Single(stage.Corners, corner => corner.FromM > corner.ToM);
        Assert.Equal('L', wrapped.Label[^1]);
        // One pass a lap through it, of the lap in which it was entered.
        Assert.All(
            stage.Passes.Where(pass => pass.Lap is >= 1 and <= 6).GroupBy(pass => pass.Lap),
            lap => AssertLabels(labels.Order(StringComparer.Ordinal), lap.Select(pass => pass.Corner).Order(StringComparer.Ordinal)));
    }

    [Fact]
    public void Frames_carry_the_corner_they_are_in()
    {
        var seen = new SortedSet<int>();
        int wrong = 0;
        LapStage stage = TestDrive.Replay(Drive.Run().Frames, LapSource.LapChannel, see: frame =>
        {
            if (frame.LapNumber != 3) return;
            seen.Add(frame.CornerIndex);
            if (Math.Abs(frame.LoadLateralG) > 0.5 && frame.CornerIndex < 0) wrong++;
            if (frame.CornerIndex >= 0 && (frame.LapDistanceM < Places[frame.CornerIndex].From - 25 || frame.LapDistanceM > Places[frame.CornerIndex].To + 25)) wrong++;
        });
        Assert.Equal([-1, 0, 1, 2, 3, 4], seen);
        Assert.Equal(0, wrong);
    }

    [Fact]
    public void Without_distance_corners_are_known_by_their_order()
    {
        LapStage stage = TestDrive.Replay((Drive with { HasSpeed = false, Paces = [0.98, 1, 0.97, 1, 0.99, 0.95] }).Run().Frames, LapSource.LapChannel);
        AssertLabels(TestDrive.CircuitLabels, stage.Corners.Select(corner => corner.Label));
        Assert.All(stage.Corners, corner => Assert.True(double.IsNaN(corner.FromM)));
        AssertEveryTimedLap(stage, TestDrive.CircuitLabels);
    }

    [Fact]
    public void Without_distance_a_missed_kink_does_not_shift_the_labels_after_it()
    {
        // A kink to the left at 0.45 g, below the threshold on the slower laps 2 and 4.
        TestDrive drive = Drive with
        {
            HasSpeed = false,
            Pieces = [(300, 0), (100, 0.45), (200, 0), (150, 1.1), (350, 0), (80, -0.9), (80, 0.95), (900, 0), (200, -1.3), (640, 0)],
            Paces = [1, 0.93, 1, 0.93, 1, 1],
        };
        LapStage stage = TestDrive.Replay(drive.Run().Frames, LapSource.LapChannel);
        string[] all = ["C1L", "C2L", "C3R", "C4L", "C5R"];
        AssertLabels(all, stage.Corners.Select(corner => corner.Label));
        Dictionary<int, string[]> byLap = TestDrive.LabelsByLap(stage);
        AssertLabels(all, byLap[1]);
        AssertLabels(all[1..], byLap[2]);
        AssertLabels(all[1..], byLap[4]);
        AssertLabels(all, byLap[6]);
    }

    [Fact]
    public void Without_distance_a_slide_the_other_way_does_not_shift_the_labels_after_it()
    {
        (List<EngineFrame> frames, List<double> passings) = (Drive with { HasSpeed = false }).Run();
        for (int i = 0; i < frames.Count; i++)
        {
            double since = frames[i].At.Seconds - passings[2];
            if (since is > 3 and < 4) frames[i] = frames[i] with { LoadLateralG = -0.7 };
        }

        Dictionary<int, string[]> byLap = TestDrive.LabelsByLap(TestDrive.Replay(frames, LapSource.LapChannel));
        AssertLabels(["-", .. TestDrive.CircuitLabels], byLap[3]);
        AssertLabels(TestDrive.CircuitLabels, byLap[4]);
    }

    [Fact]
    public void A_lap_twice_as_long_teaches_nothing()
    {
        // The first passing after lap 1 is missing: laps 1 and 2 look like one.
        void Fill(ref EngineFrame frame, double odometer, int passings, double since) => frame[Role.Beacon] = since < 0.5 && passings != 2 ? 1 : 0;
        TestDrive drive = new() { Fill = Fill, Paces = [1, 1, 1, 1, 1, 1, 1] };
        List<EngineFrame> frames = drive.Run().Frames;
        LapStage stage = TestDrive.Replay(frames, LapSource.Beacon);
        AssertLabels(TestDrive.CircuitLabels, stage.Corners.Select(corner => corner.Label));
    }

    [Fact]
    public void A_short_jolt_is_no_pass_and_a_short_dip_does_not_end_one()
    {
        var tracker = new CornerTracker();
        var passes = new List<CornerPass>();
        for (int i = 0; i < 400; i++)
        {
            double t = i * 0.05;
            var frame = new EngineFrame(LogTime.FromSeconds(t))
            {
                LoadLateralG = t is > 2 and < 2.3 ? 1 : t is > 5 and < 6 or > 6.3 and < 7.5 ? 1 : 0,
            };
            if (tracker.Step(ref frame) is { } pass) passes.Add(pass);
        }

        CornerPass one = Assert.Single(passes);
        Assert.Equal(5, one.Entry.Seconds, 0.06);
        Assert.Equal(7.5, one.Exit.Seconds, 0.06);
        Assert.Equal(2.2, one.SustainedS, 0.1);
        Assert.Null(one.OilPressureMinKpa);
    }

    [Fact]
    public void A_hole_in_the_data_ends_a_pass_and_the_log_may_end_in_one()
    {
        var tracker = new CornerTracker();
        var passes = new List<CornerPass>();
        for (int i = 0; i < 200; i++)
        {
            double t = i * 0.05;
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { LoadLateralG = t is > 3 and < 4.5 ? double.NaN : 1 };
            if (tracker.Step(ref frame) is { } pass) passes.Add(pass);
        }

        passes.Add(tracker.Finish()!);
        Assert.Equal([(0.0, 3.0), (4.5, 9.95)], passes.Select(pass => (pass.Entry.Seconds, pass.Exit.Seconds)));
    }

    [Fact]
    public void A_pass_carries_what_the_engine_did_in_it()
    {
        void Fill(ref EngineFrame frame, double odometer, int passings, double since)
        {
            frame[Role.Lap] = passings;
            frame[Role.OilTemperature] = 104;
            frame[Role.OilPressure] = frame.LoadLateralG > 1.15 ? 250 : 450;
            frame.ExpectedKpa = 500;
            frame.SpreadKpa = 10;
        }

        LapStage stage = TestDrive.Replay(new TestDrive { Fill = Fill, Paces = [1, 1] }.Run().Frames, LapSource.LapChannel);
        CornerPass fourth = stage.Passes.First(pass => pass is { Lap: 1, Corner: "C4L" });
        Assert.Equal(104, fourth.OilTemperatureC!.Value, 1e-9);
        Assert.Equal(6000, fourth.MeanRpm!.Value, 1e-9);
        Assert.Equal(250, fourth.OilPressureMinKpa);
        Assert.Equal(0.5, fourth.OilPressureMinRatio);
        Assert.Equal(1.2, fourth.PeakLateralG!.Value, 0.01);
        CornerPass first = stage.Passes.First(pass => pass is { Lap: 1, Corner: "C1L" });
        Assert.Equal(0.9, first.OilPressureMinRatio);
        Assert.InRange(first.JudgedS, first.Exit.SecondsSince(first.Entry) - 0.06, first.Exit.SecondsSince(first.Entry) + 1);
    }

    private static CornerPass Pass(double entry, double exit, LoadDirection direction = LoadDirection.Left, string? corner = null, bool judged = true) => new()
    {
        Entry = LogTime.FromSeconds(entry),
        Exit = LogTime.FromSeconds(exit),
        Direction = direction,
        Corner = corner,
        SustainedS = exit - entry,
        OilPressureMinKpa = judged ? 400 : null,
        OilPressureMinRatio = judged ? 0.95 : null,
        JudgedS = judged ? exit - entry : 0,
    };

    private static Alert Starvation(double start, LoadDirection direction = LoadDirection.Left, Severity severity = Severity.Warning, string? corner = null, double deficit = 100) => new()
    {
        Kind = AlertKind.OilStarvation,
        Severity = severity,
        Channel = Role.OilPressure,
        Direction = direction,
        Corner = corner,
        Start = LogTime.FromSeconds(start),
        Raised = LogTime.FromSeconds(start + 0.1),
        End = LogTime.FromSeconds(start + 0.8),
        DurationS = 0.8,
        MinKpa = 150,
        MinRatio = 0.3,
        DeficitKpaS = deficit,
        Revolutions = 90,
    };

    [Theory]
    [InlineData(10.0, 0, 0.0)]
    [InlineData(11.5, 0, 1.5)]
    [InlineData(13.4, 0, 3.4)]     // within a second and a half of the exit
    [InlineData(13.5, -1, 0.0)]
    [InlineData(9.9, -1, 0.0)]
    public void An_alert_belongs_to_the_pass_in_which_it_began(double start, int index, double toDrop)
    {
        var passes = CornerTally.Join([Pass(10, 12)], [Starvation(start)]);
        Assert.Equal(index == 0, passes[0].Starved);
        if (index < 0)
        {
            Assert.Null(passes[0].TimeToDropS);
            return;
        }

        Assert.Equal(toDrop, passes[0].TimeToDropS!.Value, 1e-9);
        Assert.Equal(150, passes[0].OilPressureMinKpa);
        Assert.Equal(0.3, passes[0].OilPressureMinRatio);
    }

    [Fact]
    public void Of_two_passes_the_one_of_the_alerts_direction_is_starved()
    {
        CornerPass[] passes = [Pass(10, 12), Pass(12.5, 14, LoadDirection.Right)];
        Assert.Equal([true, false], CornerTally.Join(passes, [Starvation(13)]).Select(pass => pass.Starved == true));
        Assert.Equal([false, true], CornerTally.Join(passes, [Starvation(13, LoadDirection.Braking)]).Select(pass => pass.Starved == true));
    }

    [Fact]
    public void A_pass_that_could_not_be_judged_is_neither_starved_nor_not()
    {
        CornerPass unjudged = Pass(10, 12, judged: false);
        Assert.Null(CornerTally.Join([unjudged], [])[0].Starved);
        Assert.Null(CornerTally.Join([Pass(10, 12) with { JudgedS = 0.9 }], [])[0].Starved);
        Assert.True(CornerTally.Join([unjudged], [Starvation(11)])[0].Starved);
        Assert.False(CornerTally.Join([Pass(10, 12)], [Starvation(11) with { Kind = AlertKind.LowOilPressure }])[0].Starved);
    }

    [Fact]
    public void Corners_are_ranked_by_the_deficit_they_cost()
    {
        CornerPass[] passes = [Pass(10, 12, corner: "C1L"), Pass(20, 22, LoadDirection.Right, "C2R"), Pass(30, 32, corner: "C3L"), Pass(110, 112, corner: "C1L"), Pass(210, 212, corner: "C1L")];
        Alert[] alerts =
        [
            Starvation(11, corner: "C1L"), Starvation(21.2, LoadDirection.Right, Severity.Advisory, "C2R", 300), Starvation(31, corner: "C3L", deficit: 200),
            Starvation(111.5, corner: "C1L"), Starvation(400) with { Corner = null },
        ];
        CornerHarm[] worst = [.. WorstCorners.Rank(CornerTally.Join(passes, alerts), alerts)];
        Assert.Equal([("C2R", 300.0), ("C1L", 200.0), ("C3L", 200.0)], worst.Select(harm => (harm.Corner, harm.DeficitKpaS)));
        Assert.Equal((3, 2, 1.25), (worst[1].Passes, worst[1].Starved, worst[1].MedianTimeToDropS!.Value));
        Assert.Equal((1.6, 180.0), (worst[1].StarvationS, worst[1].StarvationRevolutions));
    }

    [Fact]
    public void An_alert_is_placed_by_corner_just_after_it_or_under_braking_before_it()
    {
        (List<EngineFrame> frames, List<double> passings) = Drive.Run();
        LapStage stage = TestDrive.Replay(frames, LapSource.LapChannel);
        CornerPass first = stage.Passes.First(pass => pass is { Lap: 2, Corner: "C1L" });
        CornerPass second = stage.Passes.First(pass => pass is { Lap: 2, Corner: "C2R" });
        CornerPass third = stage.Passes.First(pass => pass is { Lap: 2, Corner: "C3L" });
        Assert.Equal("C1L", stage.Labels.LabelFor(first.Entry.AddSeconds(1), LoadDirection.Left));
        Assert.Equal("C1L", stage.Labels.LabelFor(first.Exit.AddSeconds(1.2), LoadDirection.Left));
        Assert.Null(stage.Labels.LabelFor(first.Exit.AddSeconds(2.2), LoadDirection.Left));
        Assert.Equal("C1L", stage.Labels.LabelFor(first.Entry.AddSeconds(-2), LoadDirection.Braking));
        Assert.Null(stage.Labels.LabelFor(first.Entry.AddSeconds(-2), LoadDirection.Left));
        Assert.Null(stage.Labels.LabelFor(first.Entry.AddSeconds(-4), LoadDirection.Braking));
        // In the chicane: what the load to the right began shows while the car already turns left.
        Assert.Equal("C2R", stage.Labels.LabelFor(third.Entry.AddSeconds(0.3), LoadDirection.Right));
        Assert.Equal("C3L", stage.Labels.LabelFor(third.Entry.AddSeconds(0.3), LoadDirection.Left));
        Assert.Equal("C2R", stage.Labels.LabelFor(second.Entry.AddSeconds(0.5), LoadDirection.Braking));
        Assert.Equal(2, stage.LapAt(LogTime.FromSeconds(passings[1] + 1)));
        Assert.Null(stage.LapAt(LogTime.FromSeconds(-1)));
    }
}
