using System.Collections.Concurrent;
using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Tests.Analysis;

/// <summary>Synthesised runs with their truth, made once for all tests of the analysis. Truth: own model (tools/OilWatch.Synthesiser).</summary>
internal static class LabelledRun
{
    private static readonly ConcurrentDictionary<SessionPlan, Lazy<SynthesisedRun>> Made = new();

    /// <summary>The run of a plan.</summary>
    public static SynthesisedRun Of(string scenario, ulong seed, int laps = 3, bool plainNames = false)
    {
        var plan = new SessionPlan(scenario, seed) { Laps = laps, Tuning = new SessionTuning { PlainNames = plainNames } };
        return Made.GetOrAdd(plan, key => new Lazy<SynthesisedRun>(() => SessionSynthesiser.Run(key))).Value;
    }

    /// <summary>As a CSV log in the run's own dialect, or a plain one.</summary>
    public static string Csv(SynthesisedRun run, bool plain = false)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        CsvLog.Write(run, text, plain ? CsvDialect.Plain : CsvDialect.Draw(new SeededRandom(run.Plan.Seed, "dialect " + run.Plan.Scenario)));
        return text.ToString();
    }

    /// <summary>A log in memory.</summary>
    public static LogSource Source(string name, string text)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        return new LogSource(name, () => new MemoryStream(bytes, writable: false));
    }

    /// <summary>What is found in a CSV log.</summary>
    public static Task<SessionResult> AnalyseAsync(string csv, bool asLive = false) =>
        SessionAnalysis.RunAsync(Source("session.csv", csv), new AnalysisRequest { AsLive = asLive }).AsTask();

    /// <summary>What is found in the run's CAN log with its database.</summary>
    public static Task<SessionResult> AnalyseCanAsync(SynthesisedRun run)
    {
        CanLayout layout = CanLayout.For(run);
        var log = new StringBuilder();
        using (var text = new StringWriter(log, CultureInfo.InvariantCulture)) CanLog.Write(run, layout, text);
        return SessionAnalysis.RunAsync(
            Source("session.log", log.ToString()),
            new AnalysisRequest { Readers = new ReaderOptions { CanDatabases = [Source("engine.dbc", Dbc.Text(layout))] } }).AsTask();
    }

    /// <summary>What is scored of an alert.</summary>
    public static Detection Detected(Alert alert) =>
        new(alert.Start.Seconds, alert.End.Seconds, alert.Raised.Seconds, alert.Severity.Word(), alert.Kind.Word(), alert.Direction.Word());

    /// <summary>Losses of oil pressure of caution and above.</summary>
    public static Alert[] OilCautions(SessionResult result) =>
        [.. result.Alerts.Where(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure && alert.Severity >= Severity.Caution)];

    /// <summary>A result file's bytes.</summary>
    public static byte[] Written(SessionResult result, Action<SessionResult, Stream> write)
    {
        using var bytes = new MemoryStream();
        write(result, bytes);
        return bytes.ToArray();
    }

    /// <summary>The bytes of <c>alerts.jsonl</c> as text.</summary>
    public static string AlertLines(SessionResult result) => Encoding.UTF8.GetString(Written(result, ResultFiles.WriteAlertsJsonLines));
}
