using System.Text;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Output;

/// <summary>Writes a run as files.</summary>
public static class RunFolder
{
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false);

    /// <summary>Writes the logs, the car file and the truth of a run.</summary>
    /// <param name="run">The run.</param>
    /// <param name="folder">Where to; made when it is not there.</param>
    /// <param name="csv">True for a CSV log.</param>
    /// <param name="can">True for a CAN log and its database.</param>
    /// <param name="name">Name of the logs without extension.</param>
    /// <param name="dialect">Dialect of the CSV log; null to draw one.</param>
    public static void Write(SynthesisedRun run, string folder, bool csv, bool can, string name = "session", CsvDialect? dialect = null)
    {
        Directory.CreateDirectory(folder);
        if (csv)
        {
            dialect ??= CsvDialect.Draw(new SeededRandom(run.Plan.Seed, $"dialect {run.Plan.Scenario}"));
            using var writer = new StreamWriter(Path.Combine(folder, name + ".csv"), append: false, Utf8);
            CsvLog.Write(run, writer, dialect);
        }

        if (can)
        {
            CanLayout layout = CanLayout.For(run);
            using (var writer = new StreamWriter(Path.Combine(folder, name + ".log"), append: false, Utf8)) CanLog.Write(run, layout, writer);
            File.WriteAllText(Path.Combine(folder, "engine.dbc"), Dbc.Text(layout), Utf8);
        }

        File.WriteAllText(Path.Combine(folder, "car.toml"), CarFile.Text(run, can ? "engine.dbc" : null), Utf8);
        File.WriteAllText(Path.Combine(folder, "truth.json"), TruthJson.Write(run.Truth), Utf8);
    }
}
