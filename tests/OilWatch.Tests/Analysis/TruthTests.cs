using System.Collections.Concurrent;
using OilWatch.Alerts;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Tests.Analysis;

/// <summary>The whole way from bytes to alerts, held against the truth of synthesised runs.</summary>
/// <remarks>
/// Truth: own model. The seeds were fixed before the results were looked at; a wider study is in <c>tools/OilWatch.Benchmarks</c>.
/// The limits are the ones that the project promises itself: F1 0.98, start to 0.15 s, raised within 0.25 s of 25 % below.
/// </remarks>
public sealed class TruthTests
{
    private static readonly (string Scenario, ulong Seed)[] Runs =
    [
        ("wet-left", 11), ("wet-right", 12), ("wet-both", 13), ("wet-braking", 14), ("wet-accel", 15), ("wet-shallow", 11),
        ("noisy", 12), ("low-rate", 13), ("mixed-rates", 14), ("no-temperature", 15), ("faults-on-wet", 11), ("pump-failing", 12),
        ("gps-laps", 13), ("beacon-laps", 14), ("pump-failing", 21),
        ("clean-wet", 11), ("dry-sump", 12), ("cold-start", 13), ("kerbs", 14), ("worn", 15), ("faults-pressure", 11),
        ("faults-rpm", 12), ("faults-g", 13),
    ];

    [Fact]
    public async Task Synthesised_runs_are_judged_as_their_truth_says()
    {
        var scores = new ConcurrentBag<TruthScore>();
        var alarmed = new ConcurrentBag<string>();
        int clean = 0;
        await Parallel.ForEachAsync(Runs, TestContext.Current.CancellationToken, async (which, _) =>
        {
            SynthesisedRun run = LabelledRun.Of(which.Scenario, which.Seed);
            SessionResult result = await LabelledRun.AnalyseAsync(LabelledRun.Csv(run));
            scores.Add(TruthScore.Of(result.Alerts.Select(LabelledRun.Detected), run.Truth));
            if (run.Truth.Events.Count > 0) return;
            Interlocked.Increment(ref clean);
            foreach (Alert alert in LabelledRun.OilCautions(result)) alarmed.Add($"{which.Scenario} seed {which.Seed}: {alert.Message} at {alert.Start.Seconds:F2} s");
        });

        TruthScore total = TruthScore.Sum(scores);
        string all = total + Environment.NewLine + string.Join(Environment.NewLine, total.Problems);
        Assert.True(total.Found > 60, all);                   // enough of them to say anything
        Assert.True(total.F1 >= 0.98, all);
        Assert.True(total.MedianStartErrorS <= 0.15, all);
        Assert.True(total.MedianRaiseLatencyS <= 0.25, all);
        Assert.True(total.WrongKind <= 0.05 * (total.RightKind + total.WrongKind), all);
        Assert.True(clean >= 7);
        Assert.Empty(alarmed);
    }

    [Theory]
    [InlineData("wet-left", 16)]
    [InlineData("wet-braking", 17)]
    public async Task The_same_run_as_CSV_and_as_CAN_gives_the_same_events(string scenario, ulong seed)
    {
        SynthesisedRun run = LabelledRun.Of(scenario, seed);
        Alert[] csv = LabelledRun.OilCautions(await LabelledRun.AnalyseAsync(LabelledRun.Csv(run)));
        Alert[] can = LabelledRun.OilCautions(await LabelledRun.AnalyseCanAsync(run));
        Assert.NotEmpty(csv);
        Assert.Equal(csv.Select(alert => (alert.Kind, alert.Direction, alert.Lap)), can.Select(alert => (alert.Kind, alert.Direction, alert.Lap)));
        // The CAN log's stamps count from its own first frame, a few milliseconds into the run.
        Assert.All(csv.Zip(can), pair => Assert.Equal(pair.First.Start.Seconds, pair.Second.Start.Seconds, 0.15));
    }

    [Theory]
    [InlineData("faults-on-wet", 11)]
    [InlineData("wet-left", 16)]
    [InlineData("faults-pressure", 11)]
    public async Task Every_alert_has_its_words_and_every_number_is_a_number(string scenario, ulong seed)
    {
        SessionResult result = await LabelledRun.AnalyseAsync(LabelledRun.Csv(LabelledRun.Of(scenario, seed)));
        Assert.NotEmpty(result.Alerts);
        foreach (Alert alert in result.Alerts)
        {
            Assert.False(string.IsNullOrWhiteSpace(alert.Message));
            Assert.False(string.IsNullOrWhiteSpace(alert.Reading));
            Assert.NotEmpty(alert.Evidence);
            Assert.NotEmpty(alert.Inspect);
            Assert.DoesNotContain("NaN", string.Join(' ', [alert.Message, alert.Reading, .. alert.Evidence, .. alert.Inspect]), StringComparison.Ordinal);
            Assert.True(alert.Start <= alert.Raised && alert.Start <= alert.End);
            Assert.NotEqual(EventEnd.Open, alert.Ending);
        }
    }
}
