using System.Reactive.Linq;
using System.Reactive.Subjects;
using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>The list that every detector's operator passes.</summary>
public sealed class DetectPressureDropsTests
{
    private static EngineFrame[] Drop(string frames = "400x10 200x6 400x20") => [.. new DropScenario("test", frames, "nothing").Frames()];

    private static List<PressureDropChange> Collect(IObservable<EngineFrame> frames)
    {
        var changes = new List<PressureDropChange>();
        bool completed = false;
        using IDisposable _ = frames.DetectPressureDrops().Subscribe(changes.Add, error => throw error, () => completed = true);
        Assert.True(completed);
        return changes;
    }

    [Fact]
    public void A_null_source_is_refused() =>
        Assert.Throws<ArgumentNullException>("frames", () => DetectPressureDropsOperator.DetectPressureDrops(null!));

    [Fact]
    public void Bad_options_are_refused_with_every_problem_at_once()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(
            () => Observable.Never<EngineFrame>().DetectPressureDrops(PressureDropOptions.Default with { CautionRatio = 0.96, ClearHoldS = 11, LoadG = double.NaN }));
        Assert.Equal(
            "limits.pressure_drop.caution_ratio = 0.96 is out of range; 0.3 to 0.95 is allowed; "
            + "limits.pressure_drop.load_g = NaN is out of range; 0.1 to 2 is allowed; "
            + "limits.pressure_drop.clear_hold_s = 11 is out of range; 0 to 10 is allowed; "
            + "limits.pressure_drop.caution_ratio = 0.96 must be below limits.pressure_drop.advisory_ratio = 0.9 (Parameter 'options')",
            error.Message);
    }

    [Fact]
    public void The_defaults_have_no_problem() => Assert.Empty(PressureDropOptions.Default.Problems());

    [Fact]
    public void A_source_that_never_speaks_gives_nothing_and_does_not_complete()
    {
        int calls = 0;
        using IDisposable _ = Observable.Never<EngineFrame>().DetectPressureDrops().Subscribe(_ => calls++, _ => calls++, () => calls++);
        Assert.Equal(0, calls);
    }

    [Fact]
    public void An_empty_source_completes_with_nothing() => Assert.Empty(Collect(Observable.Empty<EngineFrame>()));

    [Fact]
    public void One_frame_gives_nothing() => Assert.Empty(Collect(Observable.Return(Drop("100x1")[0])));

    [Fact]
    public void A_drop_that_is_open_at_completion_is_ended_before_it()
    {
        List<PressureDropChange> changes = Collect(Drop("400x10 200x6").ToObservable());
        Assert.Equal(EventEnd.LogEnded, changes[^1].Drop.Ending);
    }

    [Fact]
    public void An_error_passes_through_and_nothing_follows_it()
    {
        var failure = new InvalidOperationException("the source broke");
        var changes = new List<PressureDropChange>();
        Exception? seen = null;
        bool completed = false;
        using IDisposable _ = Drop("400x10 200x6").ToObservable().Concat(Observable.Throw<EngineFrame>(failure)).DetectPressureDrops()
            .Subscribe(changes.Add, error => seen = error, () => completed = true);
        Assert.Same(failure, seen);
        Assert.False(completed);
        Assert.DoesNotContain(changes, change => change.Phase == AlertPhase.Ended);
    }

    [Fact]
    public void Disposing_stops_it()
    {
        using var frames = new Subject<EngineFrame>();
        int calls = 0;
        IDisposable subscription = frames.DetectPressureDrops().Subscribe(_ => calls++);
        Assert.True(frames.HasObservers);
        foreach (EngineFrame frame in Drop("400x10")) frames.OnNext(frame);
        subscription.Dispose();
        Assert.False(frames.HasObservers);
        foreach (EngineFrame frame in Drop()) frames.OnNext(frame);
        Assert.Equal(0, calls);
    }

    [Fact]
    public void Two_subscribers_do_not_share_state()
    {
        using var frames = new Subject<EngineFrame>();
        IObservable<PressureDropChange> drops = frames.DetectPressureDrops();
        var early = new List<PressureDropChange>();
        var late = new List<PressureDropChange>();
        using IDisposable one = drops.Subscribe(early.Add);
        IDisposable? two = null;
        EngineFrame[] all = Drop("400x10 200x6 400x30 200x6 400x30");
        for (int i = 0; i < all.Length; i++)
        {
            if (i == 30) two = drops.Subscribe(late.Add);
            frames.OnNext(all[i]);
        }

        frames.OnCompleted();
        two?.Dispose();
        Assert.Equal(2, early.Count(change => change.Phase == AlertPhase.Ended));
        Assert.Single(late, change => change.Phase == AlertPhase.Ended);
        Assert.Equal(early[^1], late[^1]);
        // And one after the other over a cold source: the same both times.
        Assert.Equal(Collect(all.ToObservable()), Collect(all.ToObservable()));
    }

    [Fact]
    public void Frames_that_go_back_in_time_are_skipped()
    {
        EngineFrame[] all = Drop();
        IEnumerable<EngineFrame> withRepeats = all.SelectMany((frame, i) => i < 3 ? [frame] : new[] { frame, all[i - 3], all[i - 1], frame });
        Assert.Equal(Collect(all.ToObservable()), Collect(withRepeats.ToObservable()));
    }

    [Fact]
    public void Data_absent_throughout_give_nothing() => Assert.Empty(Collect(Drop("-x2000").ToObservable()));
}
