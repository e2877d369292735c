using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;

namespace OilWatch.Tests.Laps;

public sealed class LapTallyTests
{
    private static readonly CarSettings Car = CarSettings.None with
    {
        Bands = [new Band("bracket", BandKind.EngineSpeed, 5900, 6100), new Band("same again", BandKind.EngineSpeed, 5950, 6050), new Band("mount", BandKind.Frequency, 100, 200)],
    };

    private static void Fill(ref EngineFrame frame, double odometer, int passings, double since)
    {
        frame[Role.Lap] = passings;
        bool running = frame.SpeedRpm > 1000;
        frame[Role.OilPressure] = running ? (passings == 2 && since < 30 ? 300 : 450) : 120;
        frame.ExpectedKpa = running ? 500 : 300;
        frame.SpreadKpa = 10;
        frame[Role.OilTemperature] = 90 + passings;
        frame[Role.CrankcasePressure] = passings == 1 ? -20 : -30;
        frame[Role.Vibration] = 1.5;
    }

    private static (LapStage Stage, List<double> Passings) Run(double hz = 20)
    {
        (List<EngineFrame> frames, List<double> passings) = new TestDrive { Fill = Fill, Paces = [1, 1, 1], Hz = hz }.Run();
        return (TestDrive.Replay(frames, LapSource.LapChannel, Car), passings);
    }

    private static Alert Drop(double start, AlertKind kind = AlertKind.OilStarvation, Severity severity = Severity.Caution) => new()
    {
        Kind = kind,
        Severity = severity,
        Channel = Role.OilPressure,
        Start = LogTime.FromSeconds(start),
        Raised = LogTime.FromSeconds(start),
        End = LogTime.FromSeconds(start + 0.5),
        DurationS = 0.5,
        Revolutions = 50,
    };

    [Theory]
    [InlineData(10)]
    [InlineData(50)]
    public void A_lap_adds_up(double hz)
    {
        (LapStage stage, List<double> passings) = Run(hz);
        LapSummary[] laps = [.. stage.Join([]).Laps];
        Assert.Equal([LapKind.Out, LapKind.Timed, LapKind.Timed, LapKind.Timed, LapKind.In], laps.Select(lap => lap.Kind));
        LapSummary second = laps[2];
        Assert.Equal(100 * second.End.SecondsSince(second.Start), second.EngineRevolutions!.Value, 0.5);     // 6 000 rpm throughout
        Assert.Equal(passings[2] - passings[1], second.End.SecondsSince(second.Start), 0.11);
        Assert.Equal(second.End.SecondsSince(second.Start), second.BandDwellS!.Value, 0.01);     // overlapping bands count once
        Assert.Equal(6000, second.PeakRpm);
        Assert.Equal(1.3, second.PeakLateralG!.Value, 0.01);
        Assert.Equal((300.0, 0.6), (second.OilPressureMinKpa!.Value, second.OilPressureMinRatio!.Value));
        Assert.Equal(450, laps[1].OilPressureMinKpa);
        Assert.Equal(92, second.OilTemperatureMaxC);
        Assert.Equal((-20.0, -20.0), (laps[1].CrankcasePressureMeanKpa!.Value, laps[1].CrankcasePressureMaxKpa!.Value));
        Assert.Equal(1.5, second.VibrationMax);
        Assert.Equal((0, 0.0, 0.0), (second.StarvationEvents!.Value, second.StarvationS!.Value, second.LowPressureS!.Value));
    }

    [Fact]
    public void Idle_in_the_pits_is_not_the_lowest_pressure_of_a_lap()
    {
        LapSummary[] laps = [.. Run().Stage.Join([]).Laps];
        Assert.Equal(450, laps[0].OilPressureMinKpa);
        Assert.Equal(450, laps[^1].OilPressureMinKpa);
    }

    [Fact]
    public void Alerts_count_in_the_lap_in_which_they_began()
    {
        (LapStage stage, List<double> passings) = Run();
        LapSummary[] laps =
        [
            .. stage.Join(
            [
                Drop(passings[0] + 5), Drop(passings[0] + 50, severity: Severity.Warning), Drop(passings[0] + 20, severity: Severity.Advisory),
                Drop(passings[1] - 0.3), Drop(passings[1] + 9, AlertKind.LowOilPressure), Drop(-5),
            ]).Laps,
        ];
        Assert.Equal((3, 1.5, 150.0, 0.0), (laps[1].StarvationEvents!.Value, laps[1].StarvationS!.Value, laps[1].StarvationRevolutions!.Value, laps[1].LowPressureS!.Value));
        Assert.Equal((0, 0.5), (laps[2].StarvationEvents!.Value, laps[2].LowPressureS!.Value));
        Assert.Equal(0, laps[0].StarvationEvents);
    }

    [Fact]
    public void What_was_not_logged_stays_unknown()
    {
        List<EngineFrame> frames = [.. new TestDrive { Fill = TestDrive.LapChannel(), Paces = [1] }.Run().Frames.Select(frame =>
        {
            frame[Role.EngineSpeed] = double.NaN;
            return frame;
        })];
        LapStage stage = TestDrive.Live(frames, LapSource.LapChannel, Car);
        LapSummary lap = stage.Join([]).Laps[1];
        Assert.Equal(new LapSummary { Lap = 1, Kind = LapKind.Timed, Start = lap.Start, End = lap.End, PeakLateralG = lap.PeakLateralG }, lap);
        Assert.Null(stage.Engine.Hours);
    }

    [Fact]
    public void The_first_laps_kind_is_as_it_was_settled_at_the_end()
    {
        (List<EngineFrame> frames, _) = new TestDrive { Fill = TestDrive.LapChannel(2), BeginM = 2990, StandS = 0, Paces = [0.91, 0.9] }.Run();
        Assert.Equal(LapKind.Timed, TestDrive.Live(frames, LapSource.LapChannel).Join([]).Laps[0].Kind);
    }

    [Fact]
    public void Engine_speed_holds_for_half_a_second_and_no_longer()
    {
        var hours = new EngineHours();
        void At(double seconds, double rpm)
        {
            var frame = new EngineFrame(LogTime.FromSeconds(seconds));
            frame[Role.EngineSpeed] = rpm;
            hours.Step(frame);
        }

        At(0, 3000);
        At(0.1, double.NaN);
        At(0.2, 3000);     // 0.2 s
        At(10, 3000);     // a hole: 0.5 s of it
        At(9, 9000);     // back in time: nothing
        At(10.4, 6000);     // 0.4 s at 4 500 on average
        At(10.8, double.NaN);
        At(20, double.NaN);     // 0.5 s held
        At(30, 0);
        At(30.4, 0);
        Assert.Equal(0.2 + 0.5 + 0.4 + 0.5, hours.RunningS, 1e-9);
        Assert.Equal((50 * 0.7) + (75 * 0.4) + (100 * 0.5), hours.Revolutions, 1e-9);
    }

    [Fact]
    public void The_session_is_the_sum_of_its_laps()
    {
        (LapStage stage, _) = Run();
        Assert.Equal(stage.Engine.Revolutions, stage.Join([]).Laps.Sum(lap => lap.EngineRevolutions!.Value), 1e-6);
        double length = stage.Laps[^1].End.SecondsSince(stage.Laps[0].Start);
        Assert.Equal(length / 3600, stage.Engine.Hours!.Value, 1e-6);
    }
}
