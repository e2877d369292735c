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

    /// <summary>When vacuum had been below a share of what the same engine shows healthy, at speeds where it is judged, for a second in all; infinity if never.</summary>
    internal static double FellBelow(SynthesisedRun run, double share, double lossS)
    {
        double[] kpa = run.True.ByRole["crankcase_pressure"], healthy = run.True.HealthyCrankcaseKpa, rpm = run.True.ByRole["engine_speed"];
        double below = 0;
        for (int i = (int)(lossS / run.True.StepS); i < kpa.Length; i++)
        {
            if (rpm[i] < 2500 || healthy[i] > -3 || kpa[i] < share * healthy[i]) continue;
            below += run.True.StepS;
            if (below >= 1) return i * run.True.StepS;
        }
        return double.PositiveInfinity;
    }
}
