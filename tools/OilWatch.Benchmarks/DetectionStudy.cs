using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Benchmarks;

/// <summary>Holds the detectors against many synthesised runs with their truth, and prints how well they did, scenario by scenario.</summary>
internal static class DetectionStudy
{
    public const string Usage = "truth FIRST_SEED LAST_SEED [--laps N] [--live] [--can] [--scenario NAME] [--rate HZ] [--notes N]";

    public static async Task<int> RunAsync(string[] args)
    {
        if (args.Length < 2 || !ulong.TryParse(args[0], out ulong first) || !ulong.TryParse(args[1], out ulong last))
        {
            Console.Error.WriteLine(Usage);
            return 2;
        }
        bool live = args.Contains("--live"), can = args.Contains("--can");
        int laps = int.Parse(After(args, "--laps") ?? "4", CultureInfo.InvariantCulture);
        int most = int.Parse(After(args, "--notes") ?? "12", CultureInfo.InvariantCulture);
        string? only = After(args, "--scenario");
        double? rateHz = After(args, "--rate") is { } rate ? double.Parse(rate, CultureInfo.InvariantCulture) : null;
        var total = new List<TruthScore>();
        var faults = new List<SensorFaultScore>();
        Console.WriteLine("scenario            found missed  false   F1     start s  raise s  clean runs alarmed");
        foreach (Scenario scenario in AllScenarios.List.Where(s => only is null || s.Name.Equals(only, StringComparison.Ordinal)))
        {
            var scores = new List<TruthScore>();
            int clean = 0, alarmed = 0;
            var notes = new List<string>();
            for (ulong seed = first; seed <= last; seed++)
            {
                SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan(scenario.Name, seed) { Laps = laps, RateHz = rateHz });
                SessionResult result = await AnalyseAsync(run, seed, can, live);
                TruthScore score = TruthScore.Of(result.Alerts.Select(Detected), run.Truth);
                SensorFaultScore sensors = SensorFaultScore.Of(
                    result.Alerts.Where(alert => alert.Kind == AlertKind.SensorFault).Select(alert => (alert.Channel.Key(), alert.Start.Seconds, alert.End.Seconds)), run.Truth);
                scores.Add(score);
                faults.Add(sensors);
                notes.AddRange(score.Problems.Concat(sensors.Problems).Select(problem => $"    {problem}"));
                if (run.Truth.Events.Count > 0) continue;
                clean++;
                Alert[] oil = [.. result.Alerts.Where(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure)];
                if (oil.Length == 0) continue;
                alarmed++;
                notes.Add(string.Create(CultureInfo.InvariantCulture, $"    seed {seed}: clean, but {oil[0].Severity} at {oil[0].Start.Seconds:F1} s: {oil[0].Message}"));
            }
            Print(scenario.Name, TruthScore.Sum(scores), clean, alarmed);
            foreach (string note in notes.Take(most)) Console.WriteLine(note);
            total.AddRange(scores);
        }
        Print("all", TruthScore.Sum(total), 0, 0);
        Print(SensorFaultScore.Sum(faults));
        return 0;
    }

    private static async Task<SessionResult> AnalyseAsync(SynthesisedRun run, ulong seed, bool can, bool live)
    {
        if (can)
        {
            CanLayout layout = CanLayout.For(run);
            using var log = new StringWriter(CultureInfo.InvariantCulture);
            CanLog.Write(run, layout, log);
            LogSource database = Source("engine.dbc", Dbc.Text(layout));
            return await SessionAnalysis.RunAsync(
                Source("session.log", log.ToString()),
                new AnalysisRequest { AsLive = live, Readers = new ReaderOptions { CanDatabases = [database] } });
        }
        using var table = new StringWriter(CultureInfo.InvariantCulture);
        CsvLog.Write(run, table, CsvDialect.Draw(new SeededRandom(seed, "dialect " + run.Plan.Scenario)));
        return await SessionAnalysis.RunAsync(Source("session.csv", table.ToString()), new AnalysisRequest { AsLive = live });
    }

    private static LogSource Source(string name, string text)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        return new LogSource(name, () => new MemoryStream(bytes, writable: false));
    }

    private static Detection Detected(Alert alert) =>
        new(alert.Start.Seconds, alert.End.Seconds, alert.Raised.Seconds, alert.Severity.Word(), alert.Kind.Word(), alert.Direction.Word());

    private static string? After(string[] args, string option) =>
        args.SkipWhile(arg => !arg.Equals(option, StringComparison.Ordinal)).Skip(1).FirstOrDefault();

    private static void Print(string name, TruthScore score, int clean, int alarmed) => Console.WriteLine(string.Create(
        CultureInfo.InvariantCulture,
        $"{name,-20}{score.Found,5}{score.Missed,7}{score.False,7}  {score.F1:F4}  {score.MedianStartErrorS,7:F3}  {score.MedianRaiseLatencyS,7:F3}  {(clean > 0 ? $"{alarmed} of {clean}" : "")}"));

    private static void Print(SensorFaultScore score)
    {
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture, $"sensor faults of 0.5 s and longer: {score.Found} of {score.All} found; {score.False} reports without a fault in {score.Hours:F1} h"));
        foreach (((string channel, string kind), (int found, int all)) in score.Faults.OrderBy(fault => fault.Key.Channel, StringComparer.Ordinal).ThenBy(fault => fault.Key.Kind, StringComparer.Ordinal))
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"    {channel,-14} {kind,-18}{found,4} of {all}"));
    }
}
