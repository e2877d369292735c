using System.Reactive.Linq;
using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Frames;

namespace OilWatch.Tests.Crankcase;

public sealed class CrankcaseStateTests
{
    private const double Healthy = -30;

    [Fact]
    public void Vacuum_at_half_of_healthy_is_a_caution_dated_back_to_where_it_left()
    {
        CrankcaseEvent found = Only(Drive((20, -30), (30, -15), (20, -30)));
        Assert.Equal(CrankcaseCause.VacuumLost, found.Cause);
        Assert.Equal(Severity.Caution, found.Severity);
        Assert.InRange(found.Start.Seconds, 20, 21);
        Assert.InRange(found.Raised.Seconds, 23, 25);
        Assert.InRange(found.End.Seconds, 50, 51.5);
        Assert.Equal(EventEnd.Recovered, found.Ending);
        Assert.InRange(found.MinRatio, 0.49, 0.51);
        Assert.InRange(found.DurationS, 29, 31);
        Assert.InRange(found.Revolutions, 2600, 3500);             // 6000 rpm are 100 revolutions a second
    }

    [Fact]
    public void Vacuum_that_is_all_but_gone_becomes_a_warning()
    {
        List<CrankcaseChange> changes = Drive((20, -30), (10, -15), (20, -2), (20, -30));
        Assert.Equal([AlertPhase.Raised, AlertPhase.Escalated, AlertPhase.Ended], changes.Select(change => change.Phase));
        Assert.Equal(Severity.Warning, changes[^1].Event.Severity);
        Assert.True(changes[^1].Event.SeverityAt > changes[^1].Event.Raised);
    }

    [Fact]
    public void Pressure_on_top_of_a_loss_is_a_warning_and_one_event()
    {
        CrankcaseEvent found = Only(Drive((20, -30), (20, 3), (20, -30)));
        Assert.True(found.UnderPressure);
        Assert.Equal(Severity.Warning, found.Severity);
    }

    [Theory]
    [InlineData(-21)]            // 70 %
    [InlineData(-26)]
    public void A_little_less_vacuum_than_healthy_is_no_loss(double kpa) => Assert.Empty(Drive((20, -30), (60, kpa), (20, -30)));

    [Fact]
    public void A_loss_for_less_than_the_hold_is_none() => Assert.Empty(Drive((20, -30), (2, -12), (20, -30)));

    [Fact]
    public void Vacuum_back_for_less_than_the_hold_does_not_end_a_loss() =>
        Assert.Equal(2, Drive((20, -30), (10, -10), (2, -30), (10, -10), (20, -30)).Count);

    [Fact]
    public void Little_vacuum_at_low_engine_speed_says_nothing() =>
        Assert.Empty(Drive((ref EngineFrame frame) => frame[Role.EngineSpeed] = 1500, (20, -30), (60, -3)));

    [Fact]
    public void Pressure_under_load_on_an_engine_without_a_vacuum_pump_is_blow_by()
    {
        CrankcaseEvent found = Only(Drive((ref EngineFrame frame) => frame.ExpectedCrankcaseKpa = 0.6, (20, 0.6), (20, 3), (20, 0.6)));
        Assert.Equal(CrankcaseCause.BlowBy, found.Cause);
        Assert.Equal(Severity.Caution, found.Severity);
        Assert.InRange(found.WorstKpa, 2.9, 3.1);
    }

    [Fact]
    public void Pressure_that_is_usual_for_the_engine_is_no_blow_by() =>
        Assert.Empty(Drive((ref EngineFrame frame) => frame.ExpectedCrankcaseKpa = 2.4, (20, 2.4), (30, 3.4)));

    [Fact]
    public void Pressure_off_the_throttle_is_not_judged() =>
        Assert.Empty(Drive(
            (ref EngineFrame frame) =>
            {
                frame.ExpectedCrankcaseKpa = 0.6;
                frame[Role.Throttle] = 5;
            },
            (20, 0.6), (20, 3)));

    [Fact]
    public void Pressure_above_the_highest_is_a_warning_before_anything_was_learned()
    {
        CrankcaseEvent found = Only(Drive((ref EngineFrame frame) => frame.ExpectedCrankcaseKpa = double.NaN, (10, 9), (20, 0)));
        Assert.Equal((CrankcaseCause.BlowBy, Severity.Warning), (found.Cause, found.Severity));
    }

    [Theory]
    [InlineData(-65, Severity.Advisory)]
    [InlineData(-80, Severity.Caution)]
    public void Vacuum_too_deep_is_called_by_its_depth(double kpa, Severity severity)
    {
        CrankcaseEvent found = Only(Drive((20, -30), (30, kpa), (30, -30)));
        Assert.Equal((CrankcaseCause.TooDeep, severity), (found.Cause, found.Severity));
    }

    [Fact]
    public void An_engine_that_stops_ends_a_loss_as_such()
    {
        List<EngineFrame> frames = [.. Frames((20, -30), (20, -10), (30, 0))];
        for (int i = 0; i < frames.Count; i++)
        {
            if (frames[i].At.Seconds < 40) continue;
            EngineFrame stopped = frames[i];
            stopped[Role.EngineSpeed] = 0;
            frames[i] = stopped;
        }
        Assert.Equal(EventEnd.EngineSlowed, Only(Changes(frames)).Ending);
    }

    [Fact]
    public void Losing_the_data_is_not_recovering()
    {
        CrankcaseEvent found = Only(Drive(
            (ref EngineFrame frame) => frame[Role.CrankcasePressure] = frame.At.Seconds > 40 ? double.NaN : frame.CrankcaseKpa, (20, -30), (60, -10)));
        Assert.Equal(EventEnd.DataLost, found.Ending);
        Assert.InRange(found.End.Seconds, 39.8, 40.1);
    }

    [Fact]
    public void A_log_that_ends_in_a_loss_ends_it_so() => Assert.Equal(EventEnd.LogEnded, Only(Drive((20, -30), (20, -10))).Ending);

    [Fact]
    public void Readings_that_are_doubted_are_no_evidence() =>
        Assert.Empty(Drive((ref EngineFrame frame) => frame.Suspect = 1u << (int)Role.CrankcasePressure, (20, -30), (60, -10)));

    [Fact]
    public void Frames_from_before_are_skipped()
    {
        List<EngineFrame> frames = [.. Frames((20, -30), (30, -15), (20, -30))];
        List<EngineFrame> twice = [.. frames.SelectMany(frame => new[] { frame, new EngineFrame(frame.At.AddSeconds(-5)) { } })];
        Assert.Equal(Changes(frames), Changes(twice));
    }

    [Fact]
    public void Without_a_crankcase_channel_nothing_is_said() =>
        Assert.Empty(Drive((ref EngineFrame frame) => frame[Role.CrankcasePressure] = double.NaN, (60, -10)));

    [Fact]
    public void Errors_pass_through_and_disposing_stops()
    {
        using var frames = new Subject<EngineFrame>();
        var heard = new List<CrankcaseChange>();
        Exception? error = null;
        using (frames.DetectCrankcaseEvents().Subscribe(heard.Add, thrown => error = thrown)) frames.OnError(new InvalidOperationException("gone"));
        Assert.Equal("gone", error?.Message);
        using var others = new Subject<EngineFrame>();
        others.DetectCrankcaseEvents().Subscribe(heard.Add).Dispose();
        Assert.False(others.HasObservers);
    }

    [Fact]
    public void Two_subscribers_do_not_share_a_state()
    {
        IObservable<CrankcaseChange> changes = Frames((20, -30), (30, -15), (20, -30)).ToObservable().DetectCrankcaseEvents();
        Assert.Equal(changes.ToEnumerable().ToList(), changes.ToEnumerable().ToList());
    }

    [Fact]
    public void Every_option_out_of_range_is_told_at_once()
    {
        var options = new CrankcaseOptions { LossRatio = 0.8, ClearRatio = 0.7, HoldS = double.NaN };
        ArgumentException error = Assert.Throws<ArgumentException>(() => Observable.Never<EngineFrame>().DetectCrankcaseEvents(options));
        Assert.Equal(
            "limits.crankcase.hold_s = NaN is out of range; 0.5 to 30 is allowed; limits.crankcase.loss_ratio = 0.8 must be below limits.crankcase.clear_ratio = 0.7 (Parameter 'options')",
            error.Message);
        Assert.Throws<ArgumentNullException>(() => DetectCrankcaseOperator.DetectCrankcaseEvents(null!));
    }

    private static CrankcaseEvent Only(List<CrankcaseChange> changes)
    {
        Assert.Equal(AlertPhase.Raised, changes[0].Phase);
        return Assert.Single(changes, change => change.Phase == AlertPhase.Ended).Event;
    }

    private static List<CrankcaseChange> Drive(params (double Seconds, double Kpa)[] stretches) => Drive(null, stretches);

    private static List<CrankcaseChange> Drive(FrameChange? change, params (double Seconds, double Kpa)[] stretches)
    {
        var frames = new List<EngineFrame>();
        foreach (EngineFrame frame in Frames(stretches))
        {
            EngineFrame changed = frame;
            change?.Invoke(ref changed);
            frames.Add(changed);
        }
        return Changes(frames);
    }

    private delegate void FrameChange(ref EngineFrame frame);

    private static List<CrankcaseChange> Changes(IEnumerable<EngineFrame> frames) =>
        [.. frames.ToObservable().DetectCrankcaseEvents().ToEnumerable()];

    /// <summary>20 Hz, 6000 rpm, full throttle, healthy at -30 kPa.</summary>
    private static IEnumerable<EngineFrame> Frames(params (double Seconds, double Kpa)[] stretches)
    {
        long tick = 0;
        foreach ((double seconds, double kpa) in stretches)
        {
            for (int i = 0; i < (int)(seconds * 20); i++)
            {
                var frame = new EngineFrame(new LogTime(tick++ * 50_000_000)) { ExpectedCrankcaseKpa = Healthy, Fresh = uint.MaxValue };
                frame[Role.EngineSpeed] = 6000;
                frame[Role.Throttle] = 100;
                frame[Role.CrankcasePressure] = kpa;
                yield return frame;
            }
        }
    }
}
