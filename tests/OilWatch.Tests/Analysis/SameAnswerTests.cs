using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Tests.Reading;

namespace OilWatch.Tests.Analysis;

/// <summary>What may change without changing the answer.</summary>
public sealed class SameAnswerTests
{
    private static readonly SynthesisedRun Run = LabelledRun.Of("wet-left", 16);
    private static readonly string Csv = LabelledRun.Csv(Run, plain: true);

    private static string Everything(SessionResult result) =>
        string.Join("\n", ResultFiles.All.Select(file => file.Name + "\n" + Encoding.Latin1.GetString(LabelledRun.Written(result, file.Write))));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task The_same_bytes_give_the_same_results_under_any_culture(bool asLive)
    {
        string plain = Everything(await LabelledRun.AnalyseAsync(Csv, asLive));
        Assert.Contains("oil-starvation", plain, StringComparison.Ordinal);
        Assert.Equal(plain, Everything(await LabelledRun.AnalyseAsync(Csv, asLive)));

        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            // Culture data is left out of the build, so the separators of German and the odd signs of others are set by hand.
            var german = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            german.NumberFormat = new NumberFormatInfo { NumberDecimalSeparator = ",", NumberGroupSeparator = ".", NegativeSign = "−", PositiveSign = "plus" };
            german.DateTimeFormat = new DateTimeFormatInfo { DateSeparator = ".", TimeSeparator = "." };
            CultureInfo.CurrentCulture = CultureInfo.CurrentUICulture = german;
            Assert.Equal("−1,5", (-1.5).ToString(CultureInfo.CurrentCulture));
            Assert.Equal(plain, Everything(await LabelledRun.AnalyseAsync(Csv, asLive)));
        }
        finally
        {
            CultureInfo.CurrentCulture = CultureInfo.CurrentUICulture = before;
        }
    }

    [Fact]
    public async Task The_same_bytes_in_pieces_of_one_to_seven_give_the_same_results()
    {
        byte[] bytes = Encoding.UTF8.GetBytes(Csv);
        string whole = Everything(await LabelledRun.AnalyseAsync(Csv));
        SessionResult pieces = await SessionAnalysis.RunAsync(new LogSource("session.csv", () => new ChunkedStream(bytes, 1, 7, 3, 2, 5, 4, 6)));
        Assert.Equal(whole, Everything(pieces));
    }

    [Fact]
    public async Task A_scratch_stream_gives_the_same_results_as_memory()
    {
        // More frames than are kept in memory: the same rows many times over, each round later than the one before.
        SynthesisedRun run = LabelledRun.Of("low-rate", 13);
        string csv = LabelledRun.Csv(run, plain: true);
        int opened = 0;
        SessionResult memory = await SessionAnalysis.RunAsync(LabelledRun.Source("session.csv", csv));
        SessionResult scratch = await SessionAnalysis.RunAsync(
            LabelledRun.Source("session.csv", csv),
            new AnalysisRequest
            {
                OpenScratch = () =>
                {
                    opened++;
                    return new MemoryStream();
                },
            });
        Assert.Equal(Everything(memory), Everything(scratch));
        Assert.Equal(0, opened);                  // a short log needs none; FrameStoreTests has the long one
    }

    [Fact]
    public async Task As_live_what_was_raised_does_not_depend_on_what_came_later()
    {
        string[] lines = Csv.Split('\n');
        SessionResult whole = await LabelledRun.AnalyseAsync(Csv, asLive: true);
        Assert.True(whole.AsLive);
        foreach (double share in new[] { 0.45, 0.75 })
        {
            int rows = (int)(share * lines.Length);
            double cutS = double.Parse(lines[rows - 1].Split(',')[0], CultureInfo.InvariantCulture);
            SessionResult part = await LabelledRun.AnalyseAsync(string.Join('\n', lines[..rows]) + "\n", asLive: true);
            // The last frame may not have been complete when the log was cut.
            Assert.Equal(Raised(whole, cutS - 0.2), Raised(part, cutS - 0.2));
            Assert.NotEmpty(Raised(part, cutS - 0.2));
            // What was over well before the cut is the same to the last word.
            Assert.Equal(Over(whole, cutS - 5), Over(part, cutS - 5));
        }

        static (AlertKind, LogTime, LogTime)[] Raised(SessionResult result, double untilS) =>
            [.. result.Alerts.Where(alert => alert.Raised.Seconds < untilS).Select(alert => (alert.Channel == Role.OilPressure ? AlertKind.OilStarvation : alert.Kind, alert.Start, alert.Raised))];

        static string[] Over(SessionResult result, double untilS) =>
            LabelledRun.AlertLines(result with { Alerts = [.. result.Alerts.Where(alert => alert.End.Seconds < untilS)] }).Split('\n');
    }

    [Fact]
    public async Task An_unrelated_column_changes_nothing()
    {
        string[] lines = Csv.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        var random = new Random(20261125);
        for (int i = 0; i < lines.Length; i++)
        {
            string cell = i == 0 ? "Seat Heater [%]" : random.Next(4) == 0 ? "" : random.Next(100).ToString(CultureInfo.InvariantCulture);
            lines[i] = string.Join(',', lines[i].Split(',') is [var time, .. var rest] ? [time, cell, .. rest] : []);
        }

        SessionResult plain = await LabelledRun.AnalyseAsync(Csv), wider = await LabelledRun.AnalyseAsync(string.Join('\n', lines) + "\n");
        Assert.Equal(LabelledRun.AlertLines(plain), LabelledRun.AlertLines(wider));
        Assert.Equal(LabelledRun.Written(plain, ResultFiles.WriteLapsCsv), LabelledRun.Written(wider, ResultFiles.WriteLapsCsv));
        Assert.Equal(LabelledRun.Written(plain, ResultFiles.WriteCornersCsv), LabelledRun.Written(wider, ResultFiles.WriteCornersCsv));
    }

    [Fact]
    public async Task Another_unit_of_pressure_changes_nothing_but_the_last_digits()
    {
        SynthesisedRun kilopascal = LabelledRun.Of("wet-right", 18, plainNames: true);
        SampledChannel pressure = kilopascal.Channel("oil_pressure")!;
        Assert.Equal("kPa", pressure.Unit);
        // check-values 12: 1 psi = 6.8947572931683613 kPa, COMPUTED.
        SampledChannel psi = pressure with
        {
            Unit = "psi",
            Scale = 6.8947572931683613,
            Quantum = 1e-7,
            Values = [.. pressure.Values.Select(value => value / 6.8947572931683613)],
        };
        SynthesisedRun inPsi = kilopascal with { Channels = [.. kilopascal.Channels.Select(channel => ReferenceEquals(channel, pressure) ? psi : channel)] };
        Alert[] one = [.. (await LabelledRun.AnalyseAsync(LabelledRun.Csv(kilopascal, plain: true))).Alerts];
        Alert[] other = [.. (await LabelledRun.AnalyseAsync(LabelledRun.Csv(inPsi, plain: true))).Alerts];
        Assert.NotEmpty(one);
        Assert.Equal(one.Select(alert => (alert.Kind, alert.Severity, alert.Direction, alert.Lap, alert.Corner)), other.Select(alert => (alert.Kind, alert.Severity, alert.Direction, alert.Lap, alert.Corner)));
        foreach ((Alert kpa, Alert same) in one.Zip(other))
        {
            Assert.Equal(kpa.Start.Seconds, same.Start.Seconds, 0.002);
            Assert.Equal(kpa.Raised, same.Raised);
            Assert.Equal(kpa.MinKpa ?? 0, same.MinKpa ?? 0, 0.01);
            Assert.Equal(kpa.ExpectedKpa ?? 0, same.ExpectedKpa ?? 0, 0.1);
        }
    }

    [Fact]
    public async Task Turning_the_sign_of_lateral_g_swaps_left_and_right()
    {
        SynthesisedRun run = LabelledRun.Of("wet-right", 18, plainNames: true);
        SampledChannel lateral = run.Channel("lateral_g")!;
        SampledChannel turned = lateral with { Values = [.. lateral.Values.Select(value => -value)] };
        SynthesisedRun mirrored = run with { Channels = [.. run.Channels.Select(channel => ReferenceEquals(channel, lateral) ? turned : channel)] };
        SessionResult one = await LabelledRun.AnalyseAsync(LabelledRun.Csv(run, plain: true));
        SessionResult other = await LabelledRun.AnalyseAsync(LabelledRun.Csv(mirrored, plain: true));
        Assert.Contains(one.Alerts, alert => alert.Direction == LoadDirection.Right);
        Assert.Equal(
            one.Alerts.Select(alert => (alert.Kind, alert.Severity, alert.Start, alert.Raised, alert.End, Mirrored(alert.Direction), Mirror(alert.Corner))),
            other.Alerts.Select(alert => (alert.Kind, alert.Severity, alert.Start, alert.Raised, alert.End, alert.Direction, alert.Corner)));

        static LoadDirection Mirrored(LoadDirection direction) => direction switch
        {
            LoadDirection.Left => LoadDirection.Right,
            LoadDirection.Right => LoadDirection.Left,
            _ => direction,
        };

        static string? Mirror(string? corner) => corner is null ? null : corner[..^1] + (corner[^1] == 'L' ? 'R' : 'L');
    }
}
