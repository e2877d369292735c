using System.Reactive.Linq;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

public sealed class OverSpeedTests
{
    private static readonly OverSpeedOptions Redline = new() { Rpm = 8000 };

    [Theory]
    [InlineData(8150, Severity.Advisory)]
    [InlineData(8300, Severity.Caution)]
    [InlineData(8700, Severity.Warning)]
    public void How_far_over_decides_how_severe(double rpm, Severity severity)
    {
        OverSpeed found = Only(Drive(Redline, (2, 7000), (1, rpm), (3, 7000)));
        Assert.Equal(severity, found.Severity);
        Assert.Equal(rpm, found.PeakRpm);
        Assert.InRange(found.DurationS, 0.95, 1.05);
        Assert.InRange(found.Revolutions, rpm / 60 * 0.95, rpm / 60 * 1.05);
        Assert.InRange(found.Start.Seconds, 1.95, 2.0);
        Assert.InRange(found.Raised.Seconds, 2.05, 2.15);
        Assert.InRange(found.End.Seconds, 2.95, 3.0);
        Assert.Equal(EventEnd.Recovered, found.Ending);
    }

    [Fact]
    public void A_limiter_that_overshoots_a_little_is_not_called() => Assert.Empty(Drive(Redline, (2, 7000), (2, 8080), (2, 7000)));

    [Fact]
    public void One_reading_alone_is_not_called() => Assert.Empty(Drive(Redline, (2, 7000), (0.05, 9000), (2, 7000)));

    [Fact]
    public void Bouncing_on_the_limit_is_one_event() =>
        Assert.Equal(2, Drive(Redline, (2, 7000), (0.3, 8200), (0.3, 7900), (0.3, 8200), (0.3, 7900), (0.3, 8200), (3, 7000)).Count);

    [Fact]
    public void Getting_worse_is_told() => Assert.Equal(
        [AlertPhase.Raised, AlertPhase.Escalated, AlertPhase.Escalated, AlertPhase.Ended],
        Drive(Redline, (2, 7000), (0.3, 8150), (0.3, 8300), (0.3, 8800), (3, 7000)).Select(change => change.Phase));

    [Fact]
    public void Without_a_limit_nothing_is_judged() => Assert.Empty(Drive(OverSpeedOptions.Default, (2, 7000), (2, 12_000)));

    [Fact]
    public void Lost_data_and_the_end_of_the_log_have_their_own_endings()
    {
        Assert.Equal(EventEnd.LogEnded, Only(Drive(Redline, (2, 7000), (1, 8500))).Ending);
        Assert.Equal(EventEnd.DataLost, Only(Drive(Redline, (2, 7000), (1, 8500), (5, double.NaN))).Ending);
    }

    [Fact]
    public void A_closed_throttle_says_that_the_wheels_drove_it()
    {
        List<EngineFrame> frames = [.. Frames((2, 7000), (0.5, 8600), (2, 6000))];
        for (int i = 0; i < frames.Count; i++)
        {
            EngineFrame frame = frames[i];
            frame[Role.Throttle] = 0;
            frames[i] = frame;
        }
        Assert.True(Only([.. frames.ToObservable().DetectOverSpeed(Redline).ToEnumerable()]).Driven);
    }

    [Fact]
    public void Options_out_of_range_and_order_are_told_at_once()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(
            () => Observable.Never<EngineFrame>().DetectOverSpeed(new OverSpeedOptions { Rpm = -1, CautionShare = 0.2, WarningShare = 0.1 }));
        Assert.Equal(
            "limits.over_speed.rpm = -1 is out of range; 0 to 30000 is allowed; limits.over_speed.caution_share = 0.2 must be below limits.over_speed.warning_share = 0.1 (Parameter 'options')",
            error.Message);
        Assert.Throws<ArgumentNullException>(() => DetectOverSpeedOperator.DetectOverSpeed(null!));
    }

    private static OverSpeed Only(List<OverSpeedChange> changes)
    {
        Assert.Equal(AlertPhase.Raised, changes[0].Phase);
        return Assert.Single(changes, change => change.Phase == AlertPhase.Ended).OverSpeed;
    }

    private static List<OverSpeedChange> Drive(OverSpeedOptions options, params (double Seconds, double Rpm)[] stretches) =>
        [.. Frames(stretches).ToObservable().DetectOverSpeed(options).ToEnumerable()];

    private static IEnumerable<EngineFrame> Frames(params (double Seconds, double Rpm)[] stretches)
    {
        long tick = 0;
        foreach ((double seconds, double rpm) in stretches)
        {
            for (int i = 0; i < (int)Math.Round(seconds * 20); i++)
            {
                var frame = new EngineFrame(new LogTime(tick++ * 50_000_000)) { Fresh = uint.MaxValue };
                frame[Role.EngineSpeed] = rpm;
                yield return frame;
            }
        }
    }
}
