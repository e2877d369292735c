using OilWatch.Synthesiser.Truths;

namespace OilWatch.Tests.Synthesiser;

public class TruthScoreTests
{
    private static TrueEvent Event(double start, double end, double ratio = 0.4, bool borderline = false, string severity = "caution") => new()
    {
        Kind = "oil-starvation",
        StartS = start,
        Pass10S = start + 0.1,
        Pass25S = ratio <= 0.75 ? start + 0.2 : null,
        EndS = end,
        MinRatio = ratio,
        MinKpa = 400 * ratio,
        ExpectedKpa = 400,
        RpmAtMin = 5000,
        Lap = 1,
        CautionS = 1,
        CautionHoldS = 1,
        Severity = severity,
        Borderline = borderline,
        Direction = "left",
        Corner = "C3L",
    };

    private static Truth Of(params TrueEvent[] events) => new()
    {
        Scenario = "wet-left",
        Seed = 1,
        LengthS = 100,
        Events = events,
        Faults = [new("oil_pressure", "stuck", 60, 62)],
        Conditions = [],
        Corners = [],
        Laps = [],
        Gate = new(0, 0, 0, 20),
        Parameters = new Dictionary<string, double>(StringComparer.Ordinal),
    };

    private static Detection Called(double start, double end, string severity = "caution", string kind = "oil-starvation") =>
        new(start, end, start + 0.3, severity, kind);

    [Fact]
    public void A_detection_that_overlaps_a_true_caution_finds_it()
    {
        var score = TruthScore.Of([Called(10.05, 12)], Of(Event(10, 12)));
        Assert.Equal((1, 0, 1, 0), (score.Found, score.Missed, score.Right, score.False));
        Assert.Equal(1, score.F1);
        Assert.Equal(0.05, score.MedianStartErrorS, 1e-9);
        Assert.Equal(0.15, score.MedianRaiseLatencyS, 1e-9);
        Assert.Equal(1, score.RightKind);
        Assert.Empty(score.Problems);
    }

    [Fact]
    public void A_miss_and_a_false_alarm_are_counted_and_told()
    {
        var score = TruthScore.Of([Called(59, 61)], Of(Event(10, 12)));
        Assert.Equal((0, 1, 0, 1), (score.Found, score.Missed, score.Right, score.False));
        Assert.Equal(0, score.F1);
        Assert.Equal(
            [
                "wet-left seed 1: missed: oil-starvation at 10.00..12.00 s, ratio 0.40, 1.00 s below 75 %, lap 1 C3L",
                "wet-left seed 1: false: oil-starvation caution at 59.00..61.00 s, nothing happened then; beside the fault stuck of oil_pressure at 60.00..62.00 s",
            ],
            score.Problems);
    }

    [Fact]
    public void Borderline_events_count_neither_way()
    {
        var called = TruthScore.Of([Called(10, 12)], Of(Event(10, 12, ratio: 0.74, borderline: true)));
        Assert.Equal((0, 0, 0, 0, 1), (called.Found, called.Missed, called.Right, called.False, called.NotCounted));
        var silent = TruthScore.Of([], Of(Event(10, 12, ratio: 0.74, borderline: true)));
        Assert.Equal((1.0, 1.0), (silent.Precision, silent.Recall));
    }

    [Fact]
    public void An_advisory_is_no_answer_to_a_caution_and_no_false_alarm()
    {
        var score = TruthScore.Of([Called(10, 12, "advisory"), Called(50, 51, "advisory")], Of(Event(10, 12)));
        Assert.Equal((0, 1, 0), (score.Found, score.Missed, score.False));
    }

    [Fact]
    public void A_caution_called_on_an_advisory_is_a_false_alarm()
    {
        var score = TruthScore.Of([Called(10, 12)], Of(Event(10, 12, ratio: 0.85, severity: "advisory")));
        Assert.Equal(["wet-left seed 1: false: oil-starvation caution at 10.00..12.00 s, the truth is an advisory, ratio 0.85"], score.Problems);
    }

    [Fact]
    public void One_event_called_twice_is_found_once_and_both_are_right()
    {
        var score = TruthScore.Of([Called(10, 10.5), Called(11, 12)], Of(Event(10, 12)));
        Assert.Equal((1, 2, 0), (score.Found, score.Right, score.False));
    }

    [Fact]
    public void Sums_add_up_and_medians_are_over_all()
    {
        var sum = TruthScore.Sum([TruthScore.Of([Called(10.1, 12)], Of(Event(10, 12))), TruthScore.Of([Called(20.3, 21)], Of(Event(20, 21), Event(30, 31)))]);
        Assert.Equal((2, 1, 2, 0), (sum.Found, sum.Missed, sum.Right, sum.False));
        Assert.Equal(0.2, sum.MedianStartErrorS, 1e-9);
        Assert.Equal(2.0 / 3, sum.Recall, 1e-12);
    }

    [Fact]
    public void Other_kinds_are_not_scored()
    {
        var score = TruthScore.Of([Called(50, 51, "caution", "sensor-fault")], Of());
        Assert.Equal(0, score.False);
        Assert.True(double.IsNaN(score.MedianStartErrorS));
    }
}
