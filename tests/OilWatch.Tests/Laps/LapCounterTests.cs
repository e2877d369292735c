using CsCheck;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Positions;

namespace OilWatch.Tests.Laps;

public sealed class LapCounterTests
{
    private const double RadiusM = 500;
    private static readonly LapGate Gate = new(51, -1, 90, 30);

    private static LapCounter Count(IEnumerable<EngineFrame> frames, LapSource source, LapGate? gate = null)
    {
        var counter = new LapCounter(source, gate);
        foreach (EngineFrame given in frames)
        {
            EngineFrame frame = given;
            counter.Step(ref frame);
        }

        counter.Finish();
        return counter;
    }

    private static (int, LapKind)[] Kinds(LapCounter counter) => [.. counter.Laps.Select(lap => (lap.Number, lap.Kind))];

    // A circle of 500 m radius at steady speed, anticlockwise, through the gate at its southernmost point heading east.
    private static List<EngineFrame> Circle(double hz, double gpsHz, double speedMps, double laps, double offsetM = 0, double jitterM = 0, int direction = 1)
    {
        var plane = new LocalPlane(Gate.LatitudeDeg, Gate.LongitudeDeg);
        var random = new Random(7);
        var frames = new List<EngineFrame>();
        double latitude = double.NaN, longitude = double.NaN, nextFix = 0;
        double lapS = 2 * Math.PI * RadiusM / speedMps;
        for (int i = 0; i / hz < laps * lapS; i++)
        {
            double time = i / hz;
            var frame = new EngineFrame(LogTime.FromSeconds(time));
            if (time >= nextFix - 1e-9)
            {
                double angle = ((time / lapS) - 0.4) * 2 * Math.PI * direction;     // the line at 0.4 of a lap and every lap after
                double radius = RadiusM - offsetM;
                (latitude, longitude) = Locate(
                    plane,
                    (radius * Math.Sin(angle)) + (jitterM * (random.NextDouble() - 0.5)),
                    RadiusM - (radius * Math.Cos(angle)) + (jitterM * (random.NextDouble() - 0.5)));
                frame.Fresh = (1u << (int)Role.Latitude) | (1u << (int)Role.Longitude);
                nextFix += 1 / gpsHz;
            }

            frame[Role.Latitude] = latitude;
            frame[Role.Longitude] = longitude;
            frames.Add(frame);
        }

        return frames;
    }

    private static (double Latitude, double Longitude) Locate(LocalPlane plane, double east, double north)
    {
        double latitude = plane.LatitudeDeg, longitude = plane.LongitudeDeg;
        for (int i = 0; i < 5; i++)
        {
            (double e, double n) = plane.Project(latitude, longitude);
            latitude += (north - n) / 111_200;
            longitude += (east - e) / (111_200 * Math.Cos(plane.LatitudeDeg * Math.PI / 180));
        }

        return (latitude, longitude);
    }

    [Theory]
    [InlineData(10, 10, 50)]
    [InlineData(100, 10, 50)]
    [InlineData(20, 20, 70)]
    [InlineData(50, 5, 30)]
    public void A_gate_is_crossed_between_fixes_to_five_milliseconds(double hz, double gpsHz, double speed)
    {
        LapCounter counter = Count(Circle(hz, gpsHz, speed, 5), LapSource.Gate, Gate);
        double lapS = 2 * Math.PI * RadiusM / speed;
        Assert.Equal([(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.Timed), (3, LapKind.Timed), (4, LapKind.Timed), (5, LapKind.Incomplete)], Kinds(counter));
        for (int i = 1; i < 6; i++) Assert.Equal((i - 1 + 0.4) * lapS, counter.Laps[i].Start.Seconds, 0.005);
    }

    [Fact]
    public void Jitter_on_the_line_gives_one_crossing()
    {
        LapCounter counter = Count(Circle(10, 10, 8, 3, jitterM: 4), LapSource.Gate, Gate);
        Assert.Equal(4, counter.Laps.Count);
    }

    [Fact]
    public void A_gate_beside_the_car_is_not_crossed()
    {
        Assert.Single(Count(Circle(10, 10, 50, 3, offsetM: 16), LapSource.Gate, Gate).Laps);
        Assert.Equal(4, Count(Circle(10, 10, 50, 3, offsetM: 14), LapSource.Gate, Gate).Laps.Count);
    }

    [Fact]
    public void A_gate_is_not_crossed_against_its_heading() =>
        Assert.Single(Count(Circle(10, 10, 50, 3, direction: -1), LapSource.Gate, Gate).Laps);

    [Fact]
    public void A_gate_is_not_crossed_across_its_heading() =>
        Assert.Single(Count(Circle(10, 10, 50, 3), LapSource.Gate, Gate with { HeadingDeg = 20 }).Laps);

    [Fact]
    public void Losing_the_position_over_the_line_leaves_no_timed_lap()
    {
        List<EngineFrame> frames = Circle(10, 10, 50, 4);
        double lapS = 2 * Math.PI * RadiusM / 50;
        for (int i = 0; i < frames.Count; i++)
        {
            if (Math.Abs(frames[i].At.Seconds - (1.4 * lapS)) > 4) continue;
            EngineFrame frame = frames[i];
            frame[Role.Latitude] = frame[Role.Longitude] = double.NaN;
            frame.Fresh = 0;
            frames[i] = frame;
        }

        Assert.Equal([(0, LapKind.Out), (1, LapKind.Incomplete), (2, LapKind.Timed), (3, LapKind.Incomplete)], Kinds(Count(frames, LapSource.Gate, Gate)));
    }

    [Fact]
    public void A_wild_fix_is_not_a_crossing()
    {
        List<EngineFrame> frames = Circle(10, 10, 50, 2);
        EngineFrame wild = frames[100];
        (wild[Role.Latitude], wild[Role.Longitude]) = (0, 0);
        frames[100] = wild;
        wild = frames[150];
        wild[Role.Latitude] += 0.05;
        frames[150] = wild;
        Assert.Equal(3, Count(frames, LapSource.Gate, Gate).Laps.Count);
    }

    [Fact]
    public void Positions_alone_give_the_length_of_a_lap()
    {
        LapCounter counter = Count(Circle(10, 10, 50, 4), LapSource.Gate, Gate);
        Assert.Equal(2 * Math.PI * RadiusM, counter.MedianLengthM, 2.0);
    }

    [Fact]
    public void A_lap_channel_numbers_as_the_log_does()
    {
        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = TestDrive.LapChannel(4) }.Run();
        LapCounter counter = Count(frames, LapSource.LapChannel);
        Assert.Equal(
            [(4, LapKind.Out), (5, LapKind.Timed), (6, LapKind.Timed), (7, LapKind.Timed), (8, LapKind.Timed), (9, LapKind.Timed), (10, LapKind.Timed), (11, LapKind.In)],
            Kinds(counter));
        for (int i = 0; i < passings.Count; i++) Assert.InRange(counter.Laps[i + 1].Start.Seconds - passings[i], 0, 0.0501);
    }

    [Fact]
    public void Glitches_of_a_lap_channel_are_nothing()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(1), Paces = [1, 1, 1] }.Run();
        (int, LapKind)[] clean = Kinds(Count(frames, LapSource.LapChannel));
        var random = new Random(3);
        for (int i = 1; i < frames.Count; i++)
        {
            EngineFrame frame = frames[i];
            double dice = random.NextDouble();
            if (dice < 0.05) frame[Role.Lap] = double.NaN;
            else if (dice < 0.08) frame[Role.Lap] = 0;
            else if (dice < 0.09) frame[Role.Lap] = 255;
            else if (dice < 0.10) frame[Role.Lap] += 0.5;
            frames[i] = frame;
        }

        Assert.Equal(clean, Kinds(Count(frames, LapSource.LapChannel)));
    }

    [Fact]
    public void A_lap_channel_that_wakes_up_late_begins_with_its_number()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(7), Paces = [1, 1] }.Run();
        for (int i = 0; i < 20; i++)
        {
            EngineFrame frame = frames[i];
            frame[Role.Lap] = 0;
            frames[i] = frame;
        }

        Assert.Equal([(7, LapKind.Out), (8, LapKind.Timed), (9, LapKind.Timed), (10, LapKind.In)], Kinds(Count(frames, LapSource.LapChannel)));
    }

    [Fact]
    public void A_log_that_begins_at_the_line_at_speed_begins_with_a_timed_lap()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(2), BeginM = 2990, StandS = 0, Paces = [0.91, 0.9, 0.92] }.Run();
        Assert.Equal([(2, LapKind.Timed), (3, LapKind.Timed), (4, LapKind.Timed), (5, LapKind.Timed), (6, LapKind.Incomplete)], Kinds(Count(frames, LapSource.LapChannel)));
    }

    [Fact]
    public void A_log_that_breaks_off_at_speed_ends_with_an_incomplete_lap()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(1), StandS = 0, Paces = [1, 1] }.Run();
        frames.RemoveAt(frames.Count - 1);
        Assert.Equal(LapKind.Incomplete, Count(frames, LapSource.LapChannel).Laps[^1].Kind);
    }

    [Fact]
    public void A_lap_with_a_hole_in_the_data_is_incomplete()
    {
        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = TestDrive.LapChannel(0), Paces = [1, 1, 1] }.Run();
        frames.RemoveAll(frame => frame.At.Seconds > passings[1] + 20 && frame.At.Seconds < passings[1] + 23);
        Assert.Equal(
            [(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.Incomplete), (3, LapKind.Timed), (4, LapKind.In)],
            Kinds(Count(frames, LapSource.LapChannel)));
    }

    [Fact]
    public void A_stop_makes_an_in_lap_or_an_out_lap()
    {
        // Beacon seen from the pit lane as well: 30 s stops after 80 % of lap 2 and after 10 % of lap 4.
        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = TestDrive.Pulse(), Paces = [1, 1, 1, 1, 1] }.Run();
        double lapS = passings[1] - passings[0];
        List<EngineFrame> stopped = Stopped(Stopped(frames, passings[3] + (0.1 * lapS)), passings[1] + (0.8 * lapS));
        Assert.Equal(
            [(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.In), (3, LapKind.Timed), (4, LapKind.Out), (5, LapKind.Timed), (6, LapKind.In)],
            Kinds(Count(stopped, LapSource.Beacon)));
    }

    private static List<EngineFrame> Stopped(List<EngineFrame> frames, double at)
    {
        int index = frames.FindIndex(frame => frame.At.Seconds >= at);
        var result = frames.Take(index).ToList();
        for (int i = 0; i < 600; i++)
        {
            var standing = new EngineFrame(frames[index].At.AddSeconds(i * 0.05));
            standing[Role.VehicleSpeed] = 0;
            standing[Role.Beacon] = 0;
            result.Add(standing);
        }

        result.AddRange(frames.Skip(index).Select(frame => frame with { At = frame.At.AddSeconds(30) }));
        return result;
    }

    [Fact]
    public void Two_outings_in_a_log_are_not_one_lap()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.Pulse(), Paces = [1, 1] }.Run();
        double again = frames[^1].At.Seconds + 600;
        List<EngineFrame> both = [.. frames, .. frames.Select(frame => frame with { At = frame.At.AddSeconds(again) })];
        Assert.Equal(
            [(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.Timed), (3, LapKind.In), (4, LapKind.Out), (5, LapKind.Timed), (6, LapKind.Timed), (7, LapKind.In)],
            Kinds(Count(both, LapSource.Beacon)));
    }

    [Fact]
    public void A_lap_channel_that_went_on_over_a_long_gap_has_an_in_and_an_out_lap_there()
    {
        List<EngineFrame> frames = new TestDrive { Fill = TestDrive.LapChannel(), Paces = [1, 1] }.Run().Frames;
        double again = frames[^1].At.Seconds + 600;
        IEnumerable<EngineFrame> second = frames.Select(frame =>
        {
            frame.At = frame.At.AddSeconds(again);
            frame[Role.Lap] += 4;
            return frame;
        });
        LapCounter counter = Count([.. frames, .. second], LapSource.LapChannel);
        Assert.Equal(
            [(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.Timed), (3, LapKind.In), (4, LapKind.Out), (5, LapKind.Timed), (6, LapKind.Timed), (7, LapKind.In)],
            Kinds(counter));
        Assert.Equal(frames[^1].At, counter.Laps[3].End);
    }

    [Fact]
    public void One_pass_counts_the_same_laps_as_two()
    {
        List<EngineFrame> frames = new TestDrive { Fill = TestDrive.Pulse(), Paces = [1, 0.9, 0.95] }.Run().Frames;
        Assert.Equal(
            TestDrive.Live(frames, LapSource.Beacon).Laps.Select(lap => (lap.Number, lap.Kind, lap.Start, lap.End)),
            TestDrive.Replay(frames, LapSource.Beacon).Laps.Select(lap => (lap.Number, lap.Kind, lap.Start, lap.End)));
    }

    public static TheoryData<string> Beacons => ["pulse", "long pulse", "single frame", "counter", "counter wraps", "toggle", "strength", "code", "bouncing"];

    [Theory]
    [MemberData(nameof(Beacons))]
    public void A_beacon_is_understood_by_how_it_behaves(string kind)
    {
        var random = new Random(5);
        double last = 0;
        void Fill(ref EngineFrame frame, double _, int passings, double since)
        {
            bool first = passings > last;
            last = passings;
            frame[Role.Beacon] = kind switch
            {
                "pulse" => since < 0.6 ? 1 : 0,
                "long pulse" => since < 8 ? 1 : 0,
                "single frame" => first ? 1 : 0,
                "counter" => 17 + passings,
                "counter wraps" => (3 + passings) % 5,
                "toggle" => passings % 2,
                "strength" => (since < 0.6 ? 4.2 : 0.15) + (0.1 * random.NextDouble()),
                "code" => since < 0.5 ? 100 : 0,
                _ => since < 1 && random.NextDouble() < 0.5 ? 1 : since < 0.06 ? 1 : 0,
            };
        }

        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = Fill }.Run();
        LapCounter counter = Count(frames, LapSource.Beacon);
        Assert.Equal(
            [(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.Timed), (3, LapKind.Timed), (4, LapKind.Timed), (5, LapKind.Timed), (6, LapKind.Timed), (7, LapKind.In)],
            Kinds(counter));
        for (int i = 0; i < passings.Count; i++) Assert.InRange(counter.Laps[i + 1].Start.Seconds - passings[i], 0, 0.0501);
    }

    [Fact]
    public void A_log_that_begins_inside_a_pulse_has_no_passing_at_its_end()
    {
        void Fill(ref EngineFrame frame, double odometer, int passings, double since) =>
            frame[Role.Beacon] = since < 0.5 || frame.At.Seconds < 3 ? 1 : 0;
        (List<EngineFrame> frames, _) = new TestDrive { Fill = Fill, Paces = [1] }.Run();
        Assert.Equal([(0, LapKind.Out), (1, LapKind.Timed), (2, LapKind.In)], Kinds(Count(frames, LapSource.Beacon)));
    }

    [Theory]
    [InlineData("resets")]
    [InlineData("cumulative")]
    [InlineData("slow")]
    [InlineData("stuck")]
    public void A_distance_channel_gives_the_lap_distance(string kind)
    {
        double held = 0;
        bool slow = string.Equals(kind, "slow", StringComparison.Ordinal);
        void Fill(ref EngineFrame frame, double odometer, int passings, double since)
        {
            frame[Role.Lap] = passings;
            double lapDistance = odometer < 1800 ? odometer + 1200 : (odometer - 1800) % 3000;
            if (slow && Math.Abs((frame.At.Seconds * 2) - Math.Round(frame.At.Seconds * 2)) < 1e-6) held = odometer;
            frame[Role.Distance] = kind switch { "resets" => lapDistance, "cumulative" => odometer + 12_345, "slow" => held, _ => 0 };
        }

        // The speed channel reads 3 % high: only distance has the true length.
        (List<EngineFrame> frames, _) = new TestDrive { Fill = Fill, SpeedError = _ => 0.03, Paces = [1, 1, 1] }.Run();
        LapCounter counter = Count(frames, LapSource.LapChannel);
        Assert.Equal(string.Equals(kind, "stuck", StringComparison.Ordinal) ? 3090 : 3000, counter.MedianLengthM, slow ? 5.0 : 2.0);
    }

    [Fact]
    public void Laps_measured_differently_have_the_same_places_on_the_second_pass()
    {
        double[] errors = [0, 0.01, -0.015, 0.02, 0, 0.005, -0.01, 0];
        var truth = new List<double>();
        void Fill(ref EngineFrame frame, double odometer, int passings, double since)
        {
            frame[Role.Lap] = passings;
            truth.Add(passings is > 0 and < 7 ? (odometer - 1800) % 3000 : double.NaN);
        }

        (List<EngineFrame> frames, _) = new TestDrive { Fill = Fill, SpeedError = lap => errors[lap] }.Run();
        int i = 0;
        double worst = 0, reference = 0;
        LapStage stage = TestDrive.Replay(frames, LapSource.LapChannel, see: frame =>
        {
            double at = truth[i++];
            if (!double.IsNaN(at) && at is > 50 and < 2950) worst = Math.Max(worst, Math.Abs(frame.LapDistanceM - (at * reference / 3000)));
        });
        // Once more, now that the reference length is known.
        reference = stage.Laps.Where(lap => lap.Kind == LapKind.Timed).Select(lap => lap.LengthM).Order().ElementAt(3);
        i = 0;
        worst = 0;
        TestDrive.Replay(frames, LapSource.LapChannel, see: frame =>
        {
            double at = truth[i++];
            if (!double.IsNaN(at) && at is > 50 and < 2950) worst = Math.Max(worst, Math.Abs(frame.LapDistanceM - (at * reference / 3000)));
        });
        Assert.InRange(worst, 0, 4);
    }

    [Fact]
    public void An_out_lap_is_counted_back_from_the_line_on_the_second_pass()
    {
        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = TestDrive.LapChannel(), Paces = [1, 1] }.Run();
        double before = double.NaN;
        TestDrive.Replay(frames, LapSource.LapChannel, see: frame =>
        {
            if (frame.At.Seconds < passings[0]) before = frame.LapDistanceM;
        });
        Assert.InRange(before, 2990, 3001);
        TestDrive.Live(frames, LapSource.LapChannel, see: frame =>
        {
            if (frame.At.Seconds < passings[0] - 0.1) Assert.True(double.IsNaN(frame.LapDistanceM));
        });
    }

    [Fact]
    public void Frames_that_repeat_or_go_back_change_nothing()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.Pulse(), Paces = [1, 1] }.Run();
        var twisted = new List<EngineFrame>();
        for (int i = 0; i < frames.Count; i++)
        {
            twisted.Add(frames[i]);
            if (i % 7 == 0) twisted.Add(frames[i]);
            if (i % 11 == 0 && i > 40) twisted.Add(frames[i - 40]);
        }

        Assert.Equal(Count(frames, LapSource.Beacon).Laps, Count(twisted, LapSource.Beacon).Laps);
    }

    [Fact]
    public void Without_a_source_there_are_no_laps()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Paces = [1] }.Run();
        LapStage stage = TestDrive.Live(frames, LapSource.None, see: frame => Assert.Equal(EngineFrame.NoLap, frame.LapNumber));
        Assert.Empty(stage.Laps);
        Assert.NotEmpty(stage.Passes);
        Assert.All(stage.Passes, pass => Assert.Null(pass.Lap));
    }

    [Fact]
    public void Whatever_comes_laps_follow_each_other()
    {
        Gen<double> value = Gen.OneOf(Gen.Double[-1e3, 1e3], Gen.Const(double.NaN), Gen.Const(0.0), Gen.Const(1.0), Gen.Double, Gen.Const(double.PositiveInfinity));
        Gen<(double, double, double, double, double)> one = Gen.Select(Gen.OneOf(Gen.Double[-1, 5], Gen.Double[0, 0.1], Gen.Double[0, 100]), value, value, value, value);
        Gen.Select(one.Array[0, 200], Gen.Int[0, 3]).Sample(
            (steps, source) =>
            {
                var stage = new LapStage((LapSource)source, CarSettings.None with { Gate = Gate });
                double time = 0;
                foreach ((double step, double a, double b, double c, double d) in steps)
                {
                    time += step;
                    var frame = new EngineFrame(LogTime.FromSeconds(time));
                    (frame[Role.Lap], frame[Role.Beacon], frame[Role.Latitude], frame[Role.Longitude]) = (a, b, 51 + (c / 1e6), -1 + (d / 1e6));
                    (frame[Role.VehicleSpeed], frame[Role.Distance], frame.LoadLateralG, frame[Role.EngineSpeed]) = (b, c, d, a);
                    stage.Step(ref frame);
                }

                stage.Finish();
                for (int i = 0; i < stage.Laps.Count; i++)
                {
                    Assert.True(stage.Laps[i].Start <= stage.Laps[i].End);
                    if (i > 0) Assert.True(stage.Laps[i].Start >= stage.Laps[i - 1].End);
                }

                Assert.All(stage.Passes, pass => Assert.True(pass.Entry <= pass.Exit && pass.SustainedS >= 0));
                stage.Join([]);
            },
            seed: "0000000000001",
            iter: 1000);
    }

    [Fact]
    public void Nothing_is_allocated_for_a_frame()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(), Paces = [1, 1] }.Run();
        LapStage stage = TestDrive.Live(frames, LapSource.LapChannel);
        LogTime last = frames[^1].At;
        var frame = new EngineFrame(last);
        frame[Role.VehicleSpeed] = 100;
        stage.Step(ref frame);
        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < 10_000; i++)
        {
            frame.At = frame.At.AddSeconds(0.01);
            frame.LoadLateralG = i % 100 / 400.0;
            stage.Step(ref frame);
        }

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void The_best_source_that_works_is_taken()
    {
        void Fill(ref EngineFrame frame, double odometer, int passings, double since)
        {
            frame[Role.Lap] = 0;     // a lap channel that never counts
            frame[Role.Beacon] = since < 0.5 ? 1 : 0;
        }

        (List<EngineFrame> frames, _) = new TestDrive { Fill = Fill, Paces = [1, 1] }.Run();
        var survey = new CircuitSurvey([LapSource.LapChannel, LapSource.Beacon]);
        foreach (EngineFrame frame in frames) survey.Step(frame);
        survey.Finish();
        Assert.Equal(LapSource.Beacon, survey.Source);
        Assert.Equal("C1L C2R C3L C4L C5R", string.Join(' ', survey.Map!.Corners.Select(corner => corner.Label)));
    }

    [Fact]
    public void A_gate_source_needs_a_gate() =>
        Assert.Equal("a gate is needed to tell laps by it (Parameter 'gate')", Assert.Throws<ArgumentException>(() => new LapCounter(LapSource.Gate)).Message);

    [Fact]
    public void Bad_options_are_all_named()
    {
        LapOptions bad = LapOptions.Default with { MinLapS = 1, MaxGapS = double.NaN };
        Assert.Equal(
            "limits.laps.min_lap_s = 1 is out of range; 2 to 600 is allowed|limits.laps.max_gap_s = NaN is out of range; 0.2 to 60 is allowed",
            string.Join('|', bad.Problems()));
        LoadOptions order = LoadOptions.Default with { LoadOffG = 0.5 };
        Assert.Equal("limits.corners.load_off_g = 0.5 must be below load_on_g = 0.4", Assert.Single(order.Problems()));
    }
}
