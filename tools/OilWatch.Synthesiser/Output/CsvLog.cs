using System.Globalization;
using OilWatch.Synthesiser.Sensing;

namespace OilWatch.Synthesiser.Output;

/// <summary>Writes a run as a CSV log.</summary>
public static class CsvLog
{
    /// <summary>Writes the run's channels as one table; a channel's cell is filled only where it has a reading.</summary>
    public static void Write(SynthesisedRun run, TextWriter to, CsvDialect dialect)
    {
        WriteHeader(run, to, dialect);
        IReadOnlyList<SampledChannel> channels = run.Channels;
        int[] next = new int[channels.Count];
        int[] decimals = [.. channels.Select(channel => Decimals(channel.Quantum))];
        while (true)
        {
            double at = double.PositiveInfinity;
            double stamp = 0;
            for (int c = 0; c < channels.Count; c++)
            {
                if (next[c] >= channels[c].TimesS.Length || channels[c].TimesS[next[c]] >= at) continue;
                at = channels[c].TimesS[next[c]];
                stamp = channels[c].LoggedTimesS[next[c]];
            }

            if (double.IsPositiveInfinity(at)) return;
            to.Write(Time(stamp, dialect));
            for (int c = 0; c < channels.Count; c++)
            {
                to.Write(dialect.Separator);
                if (next[c] >= channels[c].TimesS.Length || channels[c].TimesS[next[c]] > at + 1e-9) continue;
                double value = channels[c].Values[next[c]++];
                if (double.IsFinite(value)) to.Write(Number(value, decimals[c], dialect));
            }

            to.Write('\n');
        }
    }

    private static void WriteHeader(SynthesisedRun run, TextWriter to, CsvDialect dialect)
    {
        char separator = dialect.Separator;
        if (dialect.Preamble)
        {
            to.Write($"Session{separator}{run.Plan.Scenario}\n");
            to.Write($"Car{separator}Number 27\n");
            to.Write($"Sample Rate{separator}{run.Channels.Max(c => c.RateHz).ToString(CultureInfo.InvariantCulture)}\n\n");
        }

        string timeUnit = dialect.Time switch { "seconds" => "s", "milliseconds" => "ms", _ => "" };
        (string Name, string Unit)[] columns = [("Time", timeUnit), .. run.Channels.Select(c => (c.Name, c.Unit))];
        to.Write(string.Join(separator, columns.Select(c => Heading(c.Name, c.Unit, dialect))) + "\n");
        if (dialect.Units is "row") to.Write(string.Join(separator, columns.Select(c => c.Unit)) + "\n");
    }

    private static string Heading(string name, string unit, CsvDialect dialect) => unit.Length == 0 ? name : dialect.Units switch
    {
        "brackets" => $"{name} [{unit}]",
        "parentheses" => $"{name} ({unit})",
        "underscore" => $"{name.Replace(' ', '_')}_{unit}",
        _ => name,
    };

    private static string Time(double seconds, CsvDialect dialect)
    {
        switch (dialect.Time)
        {
            case "seconds": return Point(seconds.ToString("0.000###", CultureInfo.InvariantCulture), dialect);
            case "milliseconds": return Point((seconds * 1000).ToString("0.###", CultureInfo.InvariantCulture), dialect);
        }

        long ms = (long)Math.Round(seconds * 1000);
        if (dialect.Time is "clock") return string.Create(CultureInfo.InvariantCulture, $"{ms / 3_600_000}:{ms / 60_000 % 60:00}:{ms / 1000 % 60:00}.{ms % 1000:000}");

        // An invented Saturday afternoon.
        DateTime stamp = new DateTime(2031, 6, 14, 13, 0, 0, DateTimeKind.Utc).AddMilliseconds(ms);
        return stamp.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);
    }

    private static string Number(double value, int decimals, CsvDialect dialect)
    {
        string text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        bool isMinusZero = text.StartsWith('-') && text.AsSpan(1).Trim("0.").IsEmpty;
        return Point(isMinusZero ? text[1..] : text, dialect);
    }

    private static string Point(string text, CsvDialect dialect) =>
        dialect.DecimalMark is '.' ? text : text.Replace('.', dialect.DecimalMark);

    // Enough decimals that a step of the channel shows.
    private static int Decimals(double quantum) => Math.Clamp((int)Math.Ceiling(-Math.Log10(quantum) - 1e-9) + (IsDecimal(quantum) ? 0 : 1), 0, 8);

    private static bool IsDecimal(double quantum)
    {
        double scaled = quantum * Math.Pow(10, Math.Ceiling(-Math.Log10(quantum) - 1e-9));
        return Math.Abs(scaled - Math.Round(scaled)) < 1e-9;
    }
}
