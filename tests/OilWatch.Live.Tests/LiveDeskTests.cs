using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Live.Tests;

public sealed class LiveDeskTests
{
    private static readonly CanRun Run = CanRun.Of("wet-left", 16);

    private static LogSource Shipped => new("run.log", () => new MemoryStream(Run.Log));

    [Fact]
    public async Task Tells_the_laps_as_they_end_as_the_result_has_them()
    {
        var heard = new Heard();
        var desk = new LiveDesk(AlertLifeOptions.Default, heard);
        SessionResult result = await LiveWatch.PlayAsync(Shipped, double.PositiveInfinity, desk.Into(new LiveRequest { Readers = Run.Readers }));
        // The lap that the log ends in is over with the log; whether a lap is a whole one may be known only later.
        Assert.Equal(result.Laps[..^1].Select(lap => lap with { Kind = LapKind.Timed }), heard.Laps.Select(lap => lap with { Kind = LapKind.Timed }));
        Assert.True(heard.Laps.Count >= 3);
    }

    [Fact]
    public async Task Tells_health_once_a_second_of_the_logs_time()
    {
        var heard = new Heard();
        var desk = new LiveDesk(AlertLifeOptions.Default, heard);
        SessionResult result = await LiveWatch.PlayAsync(Shipped, double.PositiveInfinity, desk.Into(new LiveRequest { Readers = Run.Readers }));
        double seconds = result.Last!.Value.SecondsSince(result.First!.Value);
        Assert.InRange(heard.Health.Count, seconds * 0.95, seconds + 1);
        double[] steps = [.. heard.Health.Zip(heard.Health.Skip(1), (a, b) => b.At.SecondsSince(a.At))];
        Assert.All(steps, step => Assert.InRange(step, 1, 1.2));
        Assert.Equal(EngineState.Waiting, heard.Health[0].State);
        Assert.Contains(EngineState.Stop, heard.Health.Select(health => health.State));
        double least = result.Alerts.Min(alert => alert.MinRatio ?? 1);
        Assert.Equal(least, heard.Health.Min(health => health.MinRatio ?? 1), 1e-6);
    }

    [Fact]
    public async Task A_listener_that_throws_is_left_out_with_a_notice_and_disturbs_nobody()
    {
        var heard = new Heard();
        var desk = new LiveDesk(AlertLifeOptions.Default, new ListenerThatThrows(), heard);
        SessionResult result = await LiveWatch.PlayAsync(Shipped, double.PositiveInfinity, desk.Into(new LiveRequest { Readers = Run.Readers }));
        Assert.NotEmpty(result.Alerts);
        LiveNotice notice = Assert.Single(heard.Notices, notice => notice.Text.StartsWith("thrower", StringComparison.Ordinal));
        Assert.Contains("left out", notice.Text, StringComparison.Ordinal);
        Assert.Equal(result.Alerts.Length, heard.Changes.Count(change => change.Phase == AlertPhase.Ended));
    }

    [Fact]
    public void An_engine_whose_pressure_has_gone_absent_is_unknown_and_not_clear()
    {
        var meter = new HealthMeter();
        for (int i = 0; i <= 60; i++)
        {
            var frame = new EngineFrame(LogTime.FromSeconds(i * 0.1));
            if (i <= 30)
            {
                frame[Role.OilPressure] = 400;
                frame.ExpectedKpa = 410;
                frame.SpreadKpa = 10;
            }
            meter.Step(in frame, () => EngineState.Clear);
            Assert.Equal(i > 50, meter.IsUnknown);
        }
        var judged = new EngineFrame(LogTime.FromSeconds(7)) { ExpectedKpa = 410, SpreadKpa = 10 };
        judged[Role.OilPressure] = 400;
        meter.Step(in judged, () => EngineState.Clear);
        Assert.False(meter.IsUnknown);
        meter.Tick(LogTime.FromSeconds(9.5));               // records go on, frames do not
        Assert.True(meter.IsUnknown);
    }

    private sealed class Heard : ILiveListener
    {
        public List<LapSummary> Laps { get; } = [];
        public List<EngineHealth> Health { get; } = [];
        public List<LiveNotice> Notices { get; } = [];
        public List<AlertChange> Changes { get; } = [];
        public string Name => "heard";
        public void OnLap(LapSummary lap) => Laps.Add(lap);
        public void OnHealth(EngineHealth health) => Health.Add(health);
        public void OnNotice(LiveNotice notice) => Notices.Add(notice);
        public void OnChange(AlertChange change) => Changes.Add(change);
    }

    private sealed class ListenerThatThrows : ILiveListener
    {
        public string Name => "thrower";
        public void OnHealth(EngineHealth health) => throw new InvalidOperationException("the screen fell off");
    }
}
