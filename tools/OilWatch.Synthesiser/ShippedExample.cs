using System.IO.Compression;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser;

/// <summary>The example that is shipped: the invented car Number 27 at the invented circuit Harbour Loop.</summary>
public static class ShippedExample
{
    /// <summary>Seed that settles Harbour Loop and Number 27.</summary>
    public const ulong Seed = 76;

    private const int Laps = 6;
    private const int MoreLaps = 16;

    // Both second sessions on days like the first ones; where the oil is much hotter after than before, its passes cannot be compared.
    private const double SecondDayC = 110;

    private static SessionTuning Tuning { get; } = new() { PlainNames = true, LapS = (62, 78), Stops = false, SlowHz = 2, RedlineRpm = 7600 };

    // On the straight after the line of lap 4, and through most of lap 6: nowhere near a drop that they could be taken for.
    private static IReadOnlyList<TrueFault> SensorFaults { get; } =
        [new("oil_pressure", "dropout-zero", 320.9, 322.1), new("engine_speed", "spikes-up", 460, 474)];

    /// <summary>The run with the wet sump: starved in a long corner, and two sensors that fail.</summary>
    public static SynthesisedRun Before() => SessionSynthesiser.Run(new SessionPlan("wet-left", Seed)
    {
        Laps = Laps,
        RateHz = 20,
        Tuning = Tuning with { UncoveredSPerLap = 3.2, DeepestRatio = 0.3, Faults = SensorFaults },
    });

    /// <summary>The run with the dry sump.</summary>
    public static SynthesisedRun After() => SessionSynthesiser.Run(new SessionPlan("dry-sump", Seed) { Laps = Laps, RateHz = 20, Tuning = Tuning });

    /// <summary>A second, longer session of the same car with the same pan and the same fill, on another day.</summary>
    /// <param name="first">The run of <see cref="Before"/> or of <see cref="After"/>.</param>
    public static SynthesisedRun Again(SynthesisedRun first) => SessionSynthesiser.Run(first.Plan with
    {
        Session = 2,
        Laps = MoreLaps,
        Tuning = Tuning with { Pan = first.Pan, OilSettlesC = SecondDayC },
    });

    /// <summary>How the example's car sends its channels: plain 11-bit messages, Intel and Motorola, one of them multiplexed.</summary>
    public static CanLayout LayoutOf(SynthesisedRun run) =>
        CanLayout.Build(run, new SeededRandom(run.Plan.Seed, "can"), motorolaEngine: false, j1939: false);

    /// <summary>Writes the example's files.</summary>
    public static void Write(string folder)
    {
        Directory.CreateDirectory(folder);
        SynthesisedRun before = Before(), after = After();
        File.WriteAllText(Path.Combine(folder, "engine.dbc"), Dbc.Text(LayoutOf(before)));
        File.WriteAllText(Path.Combine(folder, "car.toml"), CarFile.Text(before, "engine.dbc"));
        WriteTable("before-wet-sump.csv", before);
        WriteTable("after-dry-sump.csv", after);
        WriteFrames("before-wet-sump.log", before);
        WriteFrames("after-dry-sump.log.gz", after);
        WriteTable("before-wet-sump-2.csv.gz", Again(before));
        WriteTable("after-dry-sump-2.csv.gz", Again(after));

        void WriteTable(string name, SynthesisedRun run)
        {
            using (StreamWriter csv = Open(name)) CsvLog.Write(run, csv, CsvDialect.Plain);
            File.WriteAllText(Path.Combine(folder, name[..name.IndexOf('.', StringComparison.Ordinal)] + ".truth.json"), TruthJson.Write(run.Truth));
        }

        void WriteFrames(string name, SynthesisedRun run)
        {
            using StreamWriter can = Open(name);
            CanLog.Write(run, LayoutOf(run), can);
        }

        StreamWriter Open(string name)
        {
            FileStream file = File.Create(Path.Combine(folder, name));
            return new StreamWriter(name.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionLevel.SmallestSize) : file);
        }
    }
}
