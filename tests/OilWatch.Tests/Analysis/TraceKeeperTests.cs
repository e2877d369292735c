using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Results.Traces;
using OilWatch.Tests.Results;

namespace OilWatch.Tests.Analysis;

public sealed class TraceKeeperTests
{
    [Fact]
    public void A_close_up_runs_from_four_seconds_before_to_three_seconds_after_though_it_was_raised_later()
    {
        var keeper = new TraceKeeper();
        Run(keeper, 0, 30, 20);
        keeper.Note(Change(AlertPhase.Raised, 1, startS: 28, endS: 30));
        Run(keeper, 30.05, 32, 20);
        keeper.Note(Change(AlertPhase.Ended, 1, startS: 28, endS: 31));
        Run(keeper, 32.05, 60, 20);
        AlertTrace trace = Assert.Single(keeper.Finish().Alerts);
        Assert.Equal((24, 34), (trace.Points[0].At.Seconds, trace.Points[^1].At.Seconds));
        Assert.Equal(201, trace.Points.Length);
    }

    [Fact]
    public void An_alert_that_the_log_ends_in_has_its_close_up()
    {
        var keeper = new TraceKeeper();
        Run(keeper, 0, 10, 20);
        keeper.Note(Change(AlertPhase.Raised, 1, 9, 10));
        keeper.Note(Change(AlertPhase.Ended, 1, 9, 10));
        Assert.Equal(10, Assert.Single(keeper.Finish().Alerts).Points[^1].At.Seconds);
    }

    [Theory]
    [InlineData(20, 400)]
    [InlineData(1000, 30)]
    public void A_long_alert_is_thinned_and_keeps_its_lowest_pressure(double rateHz, double lengthS)
    {
        var keeper = new TraceKeeper();
        Run(keeper, 0, 10, rateHz);
        keeper.Note(Change(AlertPhase.Raised, 1, 9.9, 10));
        Run(keeper, 10.001, 10 + (lengthS / 3), rateHz);
        keeper.Step(Frame(10.002 + (lengthS / 3), pressureKpa: 17));
        Run(keeper, 10.003 + (lengthS / 3), 10 + lengthS, rateHz);
        keeper.Note(Change(AlertPhase.Ended, 1, 9.9, 10 + lengthS));
        AlertTrace trace = Assert.Single(keeper.Finish().Alerts);
        Assert.InRange(trace.Points.Length, 250, 600);
        Assert.Equal(17, trace.Points.Min(point => point.PressureKpa));
        Assert.True(trace.Points.Zip(trace.Points.Skip(1)).All(pair => pair.First.At < pair.Second.At));
    }

    [Fact]
    public void Of_many_alerts_the_forty_worst_are_kept_worst_first()
    {
        var keeper = new TraceKeeper();
        for (int id = 1; id <= 60; id++)
        {
            Run(keeper, id * 10, (id * 10) + 9, 4);
            keeper.Note(Change(AlertPhase.Raised, id, (id * 10) + 8, (id * 10) + 9, ratio: 0.01 * (id * 37 % 61)));
            keeper.Note(Change(AlertPhase.Ended, id, (id * 10) + 8, (id * 10) + 9, ratio: 0.01 * (id * 37 % 61)));
        }
        double[] ratios = [.. keeper.Finish().Alerts.Select(trace => trace.Alert.MinRatio!.Value)];
        Assert.Equal([.. Enumerable.Range(1, 40).Select(place => 0.01 * place)], ratios);
    }

    [Fact]
    public void Frames_are_taken_without_allocating()
    {
        var keeper = new TraceKeeper();
        Run(keeper, 0, 100, 100);
        long before = GC.GetAllocatedBytesForCurrentThread();
        Run(keeper, 100.01, 1000, 100);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 64 * 1024);      // the strip doubles its room now and then
    }

    [Fact]
    public void What_is_absent_stays_absent()
    {
        var keeper = new TraceKeeper();
        keeper.Step(new EngineFrame(LogTime.FromSeconds(1)));
        keeper.Note(Change(AlertPhase.Raised, 1, 1, 1));
        keeper.Note(Change(AlertPhase.Ended, 1, 1, 1));
        SessionTraces traces = keeper.Finish();
        TracePoint point = Assert.Single(Assert.Single(traces.Alerts).Points);
        Assert.True(float.IsNaN(point.PressureKpa) && float.IsNaN(point.ExpectedKpa) && float.IsNaN(point.SpeedRpm) && float.IsNaN(point.LateralG) && float.IsNaN(point.VibrationLevel));
        Assert.Equal((null, null, null, null), (traces.PressureRatio, traces.Pressure, traces.Crankcase, traces.Vibration));
    }

    private static void Run(TraceKeeper keeper, double fromS, double toS, double rateHz)
    {
        for (int i = 0; fromS + (i / rateHz) <= toS + 1e-9; i++) keeper.Step(Frame(fromS + (i / rateHz)));
    }

    private static EngineFrame Frame(double atS, double pressureKpa = 400)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(atS)) { ExpectedKpa = 410, SpreadKpa = 5, LoadLateralG = 1 };
        frame[Role.OilPressure] = pressureKpa;
        frame[Role.EngineSpeed] = 6000;
        return frame;
    }

    private static AlertChange Change(AlertPhase phase, int id, double startS, double endS, double ratio = 0.3) => new(phase, LogTime.FromSeconds(endS), id, Sessions.Starvation with
    {
        Start = LogTime.FromSeconds(startS),
        End = LogTime.FromSeconds(endS),
        MinRatio = ratio,
    });
}
