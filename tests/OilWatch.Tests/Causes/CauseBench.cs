using System.Collections.Concurrent;
using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Causes;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Output;
using CarFile = OilWatch.Cars.CarFile;

namespace OilWatch.Tests.Causes;

/// <summary>Synthesised runs through the whole analysis.</summary>
internal static class CauseBench
{
    private static readonly ConcurrentDictionary<(string, ulong), (byte[] Log, AnalysisOptions Options)> Runs = new();

    /// <summary>The results of a run.</summary>
    /// <param name="scenario">The synthesiser's scenario.</param>
    /// <param name="seed">Its seed.</param>
    /// <param name="reference">The scenario of the same seed to hold its level against, or null.</param>
    /// <param name="asLive">True to judge as the pit saw it.</param>
    /// <param name="share">How much of the log there is, from its beginning.</param>
    public static async Task<SessionResult> AnalyseAsync(string scenario, ulong seed, string? reference = null, bool asLive = false, double share = 1)
    {
        HealthyReference? earlier = reference is null ? null : HealthyReference.From(await AnalyseAsync(reference, seed));
        (byte[] log, AnalysisOptions options) = Runs.GetOrAdd((scenario, seed), Make);
        int length = log.Length;
        if (share < 1) length = Array.LastIndexOf(log, (byte)'\n', (int)(share * log.Length)) + 1;
        return await SessionAnalysis.RunAsync(
            new LogSource(reference is null ? scenario + ".csv" : "later.csv", () => new MemoryStream(log, 0, length, writable: false)),
            new AnalysisRequest { Options = options, AsLive = asLive, Reference = earlier });
    }

    /// <summary>Lets go of the runs made so far.</summary>
    public static void Forget() => Runs.Clear();

    /// <summary>What was read, in a word: the cause, with its direction; or the outcome.</summary>
    public static string Word(CauseReading reading) => reading.Outcome == CauseOutcome.Named
        ? reading.Cause!.Value.Word() + (reading.Direction == LoadDirection.None ? "" : " " + reading.Direction.Word())
        : reading.Outcome.Word();

    private static (byte[] Log, AnalysisOptions Options) Make((string Scenario, ulong Seed) run)
    {
        SynthesisedRun made = SessionSynthesiser.Run(new SessionPlan(run.Scenario, run.Seed));
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        CsvLog.Write(made, text, CsvDialect.Plain);
        return (Encoding.UTF8.GetBytes(text.ToString()), CarFile.Parse(OilWatch.Synthesiser.Output.CarFile.Text(made, null), "car.toml").Options);
    }
}
