using OilWatch.Alerts;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Truths;
using OilWatch.Tests.Detectors;

namespace OilWatch.Tests.Crankcase;

/// <summary>Whole runs with the truth beside them: the synthesiser says when vacuum was lost, and its true series say how much.</summary>
public sealed class VacuumLossTests
{
    private const double WithinS = 10;
    private const double LostShare = 0.6;

    [Theory]
    [InlineData(41, false)]
    [InlineData(42, false)]
    [InlineData(43, false)]
    [InlineData(44, true)]
    [InlineData(45, true)]
    public async Task A_loss_of_vacuum_is_called_within_ten_seconds_of_falling_under_six_tenths_of_healthy(int seed, bool asLive)
    {
        SynthesisedRun run = Analysed.Synthesised("vacuum-loss", (ulong)seed, laps: 3);
        TrueCondition loss = run.Truth.Conditions.Single(condition => condition.Kind.StartsWith("vacuum-loss", StringComparison.Ordinal));
        double fell = FellBelow(run, LostShare, loss.StartS);
        SessionResult result = await Analysed.Run(run, asLive);
        Alert alert = Assert.Single(result.Alerts, alert => alert.Kind == AlertKind.CrankcaseVacuumLoss);
        Assert.Equal("vacuum-lost", alert.Detail);
        Assert.True(alert.Severity >= Severity.Caution);
        Assert.InRange(alert.Raised.Seconds, loss.StartS, fell + WithinS);
        Assert.InRange(alert.Start.Seconds, loss.StartS - 1, alert.Raised.Seconds);
        Assert.NotNull(alert.Lap);
        Assert.Equal(EventEnd.Open, alert.Ending == EventEnd.LogEnded || alert.Ending == EventEnd.EngineSlowed ? EventEnd.Open : alert.Ending);
    }

    [Theory]
    [InlineData("dry-sump", 41, false)]
    [InlineData("dry-sump", 42, true)]
    [InlineData("dry-sump", 44, false)]
    [InlineData("clean-wet", 43, false)]
    [InlineData("clean-wet", 45, true)]
    public async Task Healthy_twins_have_no_crankcase_alert(string scenario, int seed, bool asLive)
    {
        SessionResult result = await Analysed.Run(Analysed.Synthesised(scenario, (ulong)seed, laps: 3), asLive);
        Assert.DoesNotContain(result.Alerts, alert => alert.Kind == AlertKind.CrankcaseVacuumLoss);
    }

    /// <summary>A second opinion, slow and obvious: mean pressure by engine speed before the loss, and two-second means against it after.</summary>
    private static double FellBelow(SynthesisedRun run, double share, double lossS)
    {
        double[] kpa = run.True.ByRole["crankcase_pressure"], rpm = run.True.ByRole["engine_speed"];
        var sums = new double[64];
        var counts = new int[64];
        int until = (int)(lossS / run.True.StepS);
        for (int i = 0; i < until; i++)
        {
            int bin = (int)(rpm[i] / 300);
            sums[bin] += kpa[i];
            counts[bin]++;
        }
        int window = (int)(2 / run.True.StepS);
        for (int from = until; from + window < kpa.Length; from += window / 4)
        {
            double seen = 0, healthy = 0;
            bool judged = true;
            for (int i = from; i < from + window; i++)
            {
                int bin = (int)(rpm[i] / 300);
                judged &= rpm[i] > 2500 && counts[bin] > 20;
                seen += kpa[i];
                healthy += sums[bin] / Math.Max(1, counts[bin]);
            }
            if (judged && seen / healthy < share) return (from + window) * run.True.StepS;
        }
        return double.PositiveInfinity;
    }
}
