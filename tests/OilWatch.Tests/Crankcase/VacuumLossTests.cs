using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Channels;
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

    [Theory]
    [InlineData(41, false, "kPa", 88)]
    [InlineData(42, true, "mbar", 95)]
    [InlineData(44, false, "mbar", 100.5)]
    [InlineData(45, true, "kPa", 88)]
    public async Task A_loss_that_an_absolute_sensor_shows_is_called_whatever_the_air_of_the_day(int seed, bool asLive, string unit, double ambientKpa)
    {
        SynthesisedRun run = Analysed.Synthesised("vacuum-loss", (ulong)seed, laps: 3);
        TrueCondition loss = run.Truth.Conditions.Single(condition => condition.Kind.StartsWith("vacuum-loss", StringComparison.Ordinal));
        double fell = FellBelow(run, LostShare, loss.StartS);
        SessionResult result = await Analysed.Run(run, asLive, log: text => Absolute(text, unit, unit is "mbar" ? 10 : 1, ambientKpa));
        Alert alert = Assert.Single(result.Alerts, alert => alert.Kind == AlertKind.CrankcaseVacuumLoss);
        Assert.Equal("vacuum-lost", alert.Detail);
        Assert.InRange(alert.Raised.Seconds, loss.StartS, fell + WithinS);
        Assert.DoesNotContain(result.Alerts, alert => alert.Kind == AlertKind.SensorFault && alert.Channel == Role.CrankcasePressure);
    }

    [Theory]
    [InlineData("dry-sump", 41, false)]
    [InlineData("dry-sump", 42, true)]
    [InlineData("clean-wet", 43, false)]
    [InlineData("clean-wet", 45, true)]
    public async Task Healthy_twins_with_an_absolute_sensor_have_no_alert_and_show_gauge(string scenario, int seed, bool asLive)
    {
        SynthesisedRun run = Analysed.Synthesised(scenario, (ulong)seed, laps: 3);
        SessionResult gauge = await Analysed.Run(run, asLive);
        SessionResult result = await Analysed.Run(run, asLive, log: text => Absolute(text, "mbar", 10, 90));
        Assert.DoesNotContain(result.Alerts, alert => alert.Channel == Role.CrankcasePressure);
        Assert.Contains(result.Plan.Notes, note => note.StartsWith("crankcase_pressure: an absolute sensor; ambient is taken as ", StringComparison.Ordinal));
        Assert.Equal("mbar absolute", result.Plan.For(Role.CrankcasePressure)!.UnitUsed);
        // 11.3 kPa too deep against the standard atmosphere; the idle of a pump tells ambient to a few kPa.
        double apart = result.Laps[^2].CrankcasePressureMeanKpa!.Value - gauge.Laps[^2].CrankcasePressureMeanKpa!.Value;
        Assert.InRange(apart, -1.5, 6);
    }

    /// <summary>The log as a sensor of absolute pressure would have it that nothing says is one.</summary>
    private static string Absolute(string log, string unit, double perKpa, double ambientKpa)
    {
        string[] lines = log.Split('\n');
        int header = Array.FindIndex(lines, line => line.Contains("Crankcase Press", StringComparison.Ordinal));
        string[] names = lines[header].Split(',');
        int column = Array.FindIndex(names, name => name.StartsWith("Crankcase Press", StringComparison.Ordinal));
        Assert.Contains("kPa", names[column], StringComparison.Ordinal);
        names[column] = names[column].Replace("kPa", unit, StringComparison.Ordinal);
        lines[header] = string.Join(',', names);
        for (int i = header + 1; i < lines.Length; i++)
        {
            string[] cells = lines[i].Split(',');
            if (column >= cells.Length || !double.TryParse(cells[column], NumberStyles.Float, CultureInfo.InvariantCulture, out double kpa)) continue;
            cells[column] = ((kpa + ambientKpa) * perKpa).ToString("0.0##", CultureInfo.InvariantCulture);
            lines[i] = string.Join(',', cells);
        }
        return string.Join('\n', lines);
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
