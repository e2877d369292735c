using System.Text;
using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Output;

namespace OilWatch.Tests.Detectors;

/// <summary>Puts a synthesised run through the whole analysis, with its car file.</summary>
internal static class Analysed
{
    public static async Task<SessionResult> Run(SynthesisedRun run, bool asLive = false, string moreOfTheCarFile = "", Func<string, string>? log = null)
    {
        var text = new StringWriter();
        CsvLog.Write(run, text, CsvDialect.Plain);
        byte[] bytes = Encoding.UTF8.GetBytes(log is null ? text.ToString() : log(text.ToString()));
        CarFileResult car = OilWatch.Cars.CarFile.Parse(OilWatch.Synthesiser.Output.CarFile.Text(run, null) + moreOfTheCarFile, "car.toml");
        Assert.Equal("", string.Join("\n", car.Problems));
        return await SessionAnalysis.RunAsync(
            new LogSource("run.csv", () => new MemoryStream(bytes)), AnalysisRequest.Default with { Options = car.Options, AsLive = asLive });
    }

    public static SynthesisedRun Synthesised(string scenario, ulong seed, int laps = 2) =>
        SessionSynthesiser.Run(new SessionPlan(scenario, seed) { Laps = laps, Tuning = new SessionTuning { PlainNames = true } });
}
