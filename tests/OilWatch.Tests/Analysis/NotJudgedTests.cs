using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;

namespace OilWatch.Tests.Analysis;

/// <summary>What is not known is never shown as healthy.</summary>
public sealed class NotJudgedTests
{
    private const string Header = "Time [s],Oil Pressure [kPa],RPM,Lateral G [g],Longitudinal G [g],Oil Temp [degC],Lap\n";

    /// <summary>A plain healthy engine: pressure follows engine speed to the digit.</summary>
    private static string Rows(double seconds, Func<double, string>? pressure = null, Func<double, string>? rpm = null)
    {
        var text = new StringBuilder(Header);
        for (int i = 0; i < seconds * 20; i++)
        {
            double t = i * 0.05, n = 4500 + (2000 * Math.Sin(0.4 * t)) + (3 * Math.Sin(37 * t));
            string kpa = pressure?.Invoke(t) ?? (150 + (0.05 * n) + (1.5 * Math.Sin(53 * t))).ToString("F1", CultureInfo.InvariantCulture);
            string speed = rpm?.Invoke(t) ?? n.ToString("F0", CultureInfo.InvariantCulture);
            double turned = Math.Clamp(((t % 12) - 7) / 0.4, 0, 1) * Math.Clamp((12 - (t % 12)) / 0.4, 0, 1);
            double g = (0.9 * turned) + (0.03 * Math.Sin(9 * t));
            text.Append(CultureInfo.InvariantCulture, $"{t:F2},{kpa},{speed},{g:F3},{0.3 * Math.Sin(0.9 * t) + (0.01 * Math.Sin(41 * t)):F3},98.5,{1 + (int)(t / 60)}\n");
        }

        return text.ToString();
    }

    private static async Task<SessionResult> NotClearAsync(string csv)
    {
        SessionResult result = await LabelledRun.AnalyseAsync(csv);
        Assert.Equal(Verdict.Watch, result.Verdict);
        SessionResult live = await LabelledRun.AnalyseAsync(csv, asLive: true);
        Assert.Equal((result.Verdict, result.Headline), (live.Verdict, live.Headline));
        return result;
    }

    [Fact]
    public async Task A_healthy_run_is_clear()
    {
        SessionResult result = await LabelledRun.AnalyseAsync(Rows(200));
        Assert.Equal(Verdict.Clear, result.Verdict);
        Assert.Equal("No loss of oil pressure found in what could be judged.", result.Headline);
        Assert.Empty(result.Alerts);
    }

    [Theory]
    [InlineData(0.21, false)]             // 94 kPa at 6300 rpm
    [InlineData(0.21, true)]
    [InlineData(0.1, false)]
    [InlineData(0.1, true)]
    public async Task A_run_that_endangers_bearings_from_its_first_minute_to_its_last_is_never_clear(double share, bool asLive)
    {
        SessionResult result = await LabelledRun.AnalyseAsync(Rows(200, t =>
            (share * (150 + (0.05 * (4500 + (2000 * Math.Sin(0.4 * t)))) + (1.5 * Math.Sin(53 * t)))).ToString("F1", CultureInfo.InvariantCulture)), asLive);
        Assert.Equal(Verdict.Stop, result.Verdict);
        Alert[] warnings = [.. result.Alerts.Where(alert => alert.Severity == Severity.Warning)];
        Assert.InRange(warnings.Length, 1, 3);
        Assert.All(warnings, alert => Assert.True(alert.Kind is AlertKind.LowOilPressure or AlertKind.OilStarvation));
        Assert.True(warnings.Sum(alert => alert.DurationS) > 100);
        Alert latest = warnings[^1];
        Assert.InRange(latest.ExpectedKpa!.Value, 150, 301);                    // rule_of_thumb_kpa: 48.3 for each 1000 rpm, 300 at most
        if (!asLive) Assert.Contains(latest.Evidence, sentence => sentence.StartsWith("this run's own curve is as low", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Two_logs_joined_are_not_clear_by_the_first_alone()
    {
        string first = Rows(200), second = Rows(100)[Header.Length..];
        SessionResult result = await NotClearAsync(first + second);
        Assert.StartsWith("No loss of oil pressure found, but only part of the log was judged: 33 % of its readings were left out", result.Headline, StringComparison.Ordinal);
        Assert.Contains("replay the parts one by one", Assert.Single(result.NotJudged, note => note.StartsWith("Only part", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_log_of_one_row_is_not_judged()
    {
        SessionResult result = await NotClearAsync(Rows(0.05));
        Assert.Equal("Oil pressure could not be judged: oil pressure was never judged: the engine did not run above 1500 rpm with both oil pressure and engine speed believed.", result.Headline);
        Assert.Null(result.Baseline);
        Assert.Empty(result.HealthIndices);
    }

    [Fact]
    public async Task A_log_of_a_header_alone_is_not_judged_or_refused_with_its_reason()
    {
        try
        {
            await NotClearAsync(Header);
        }
        catch (InputException refused)
        {
            Assert.StartsWith("session.csv", refused.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task A_log_without_oil_pressure_is_not_judged()
    {
        string csv = Rows(120).Replace("Oil Pressure [kPa]", "Seat Heater [%]", StringComparison.Ordinal);
        SessionResult result = await NotClearAsync(csv);
        Assert.Equal("Oil pressure could not be judged: no oil_pressure channel: nothing about oil pressure can be judged: no starvation, no low pressure, no health index of it.", result.Headline);
        Assert.Contains("No oil_pressure channel: nothing about oil pressure can be judged: no starvation, no low pressure, no health index of it.", result.NotJudged, StringComparer.Ordinal);
        Assert.Null(result.Baseline);
    }

    [Theory]
    [InlineData(40, "Oil pressure was not judged for 40 s while the car moved: engine speed was missing or not to be believed.")]
    [InlineData(3, null)]
    public async Task Seconds_without_engine_speed_while_the_car_moved_are_told(double lengthS, string? note)
    {
        string[] lines = Rows(200, rpm: t => t >= 100 && t < 100 + lengthS ? "" : (4500 + (2000 * Math.Sin(0.4 * t)) + (3 * Math.Sin(37 * t))).ToString("F0", CultureInfo.InvariantCulture)).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        string csv = string.Join('\n', lines.Select((line, row) => line + (row == 0 ? ",Vehicle Speed [km/h]" : FormattableString.Invariant($",{120 + (30 * Math.Sin(0.02 * row)) + (row % 7 * 0.1):F1}")))) + "\n";
        SessionResult result = await LabelledRun.AnalyseAsync(csv);
        string[] told = [.. result.NotJudged.Where(text => text.StartsWith("Oil pressure was not judged", StringComparison.Ordinal))];
        Assert.Equal(note is null ? [] : [note], told);
    }

    [Fact]
    public async Task A_log_without_engine_speed_is_not_judged()
    {
        string csv = Rows(120).Replace("RPM", "Seat Heater [%]", StringComparison.Ordinal);
        SessionResult result = await NotClearAsync(csv);
        Assert.Equal("Oil pressure could not be judged: no engine_speed channel: healthy pressure is not known, so no drop can be called; no engine hours, revolutions, over-speed or speed bands.", result.Headline);
        Assert.Null(result.EngineHours);
    }

    [Fact]
    public async Task Text_where_pressure_should_be_is_not_judged()
    {
        SessionResult result = await NotClearAsync(Rows(120, pressure: t => t < 60 ? "OL" : "n/a"));
        Assert.StartsWith("Oil pressure could not be judged: ", result.Headline, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Empty_cells_where_pressure_should_be_are_not_judged()
    {
        SessionResult result = await NotClearAsync(Rows(120, pressure: _ => ""));
        Assert.StartsWith("Oil pressure could not be judged: ", result.Headline, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_engine_that_only_idles_is_not_judged()
    {
        SessionResult result = await NotClearAsync(Rows(120, rpm: t => (900 + (20 * Math.Sin(t))).ToString("F0", CultureInfo.InvariantCulture)));
        Assert.Equal("Oil pressure could not be judged: oil pressure was never judged: the engine did not run above 1500 rpm with both oil pressure and engine speed believed.", result.Headline);
    }

    [Theory]
    [InlineData("")]
    [InlineData("0.0")]
    [InlineData("9999.0")]
    [InlineData("312.4")]
    public async Task A_pressure_channel_that_is_lost_early_in_the_run_is_never_clear(string lost)
    {
        SessionResult result = await LabelledRun.AnalyseAsync(Rows(240, pressure: t => t < 30 ? null! : lost));
        Assert.NotEqual(Verdict.Clear, result.Verdict);
        Assert.Contains(result.Alerts, alert => alert.Kind == AlertKind.SensorFault && alert.Severity >= Severity.Caution);
    }

    [Fact]
    public async Task Without_lateral_g_every_drop_is_low_oil_pressure_and_the_reason_is_stated()
    {
        SynthesisedRun run = LabelledRun.Of("wet-left", 16);
        SynthesisedRun blind = run with { Channels = [.. run.Channels.Where(channel => channel.Role is not ("lateral_g" or "longitudinal_g"))] };
        SessionResult result = await LabelledRun.AnalyseAsync(LabelledRun.Csv(blind));
        Assert.Contains("No lateral_g channel: a drop in a corner cannot be told from any other, so every drop is reported as low-oil-pressure; no corners, no time to drop.", result.NotJudged, StringComparer.Ordinal);
        Alert[] oil = LabelledRun.OilCautions(result);
        Assert.NotEmpty(oil);
        Assert.All(oil, alert => Assert.Equal((AlertKind.LowOilPressure, LoadDirection.None), (alert.Kind, alert.Direction)));
        Assert.NotEqual(Verdict.Clear, result.Verdict);
        // Hard to learn from without knowing which running was calm, but most events are still found.
        int seen = LabelledRun.OilCautions(await LabelledRun.AnalyseAsync(LabelledRun.Csv(run))).Length;
        Assert.InRange(oil.Length, 0.6 * seen, 1.5 * seen);
    }

    [Fact]
    public async Task What_is_not_a_table_is_refused_with_its_name()
    {
        InputException error = await Assert.ThrowsAsync<InputException>(() => LabelledRun.AnalyseAsync("\0\0\0\0 nothing that anyone logged \0"));
        Assert.StartsWith("session.csv", error.Message, StringComparison.Ordinal);
    }
}
