using System.Globalization;
using System.Text;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser;

/// <summary>The example that is shipped: the invented car Number 27 at the invented circuit Harbour Loop.</summary>
public static class ShippedExample
{
    /// <summary>Seed that settles Harbour Loop and Number 27.</summary>
    public const ulong Seed = 27;

    private const int Laps = 6;

    private static SessionTuning Tuning { get; } = new() { PlainNames = true, LapS = (58, 72), Stops = false, SlowHz = 2 };

    /// <summary>The run with the wet sump: starved in a long corner, and two sensors that fail.</summary>
    public static SynthesisedRun Before() => SessionSynthesiser.Run(new SessionPlan("wet-left", Seed)
    {
        Laps = Laps,
        RateHz = 20,
        Tuning = Tuning with { UncoveredSPerLap = 2.2, DeepestRatio = 0.25, Faults = [] },
    });

    /// <summary>The run with the dry sump.</summary>
    public static SynthesisedRun After() => SessionSynthesiser.Run(new SessionPlan("dry-sump", Seed) { Laps = Laps, RateHz = 20, Tuning = Tuning });

    /// <summary>Writes the example's files.</summary>
    public static void Write(string folder)
    {
        Directory.CreateDirectory(folder);
        SynthesisedRun before = Before();
        WriteRun(before, "before-wet-sump");
        WriteRun(After(), "after-dry-sump");
        CanLayout layout = CanLayout.For(before);
        File.WriteAllText(Path.Combine(folder, "engine.dbc"), Dbc.Text(layout));
        File.WriteAllText(Path.Combine(folder, "car.toml"), CarFile.Text(before, "engine.dbc"));

        void WriteRun(SynthesisedRun run, string name)
        {
            using (var csv = new StreamWriter(Path.Combine(folder, name + ".csv"))) CsvLog.Write(run, csv, CsvDialect.Plain);
            using (var can = new StreamWriter(Path.Combine(folder, name + ".log"))) CanLog.Write(run, CanLayout.For(run), can);
            File.WriteAllText(Path.Combine(folder, name + ".truth.json"), TruthJson.Write(run.Truth));
        }
    }
}
