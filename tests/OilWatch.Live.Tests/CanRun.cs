using System.Globalization;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Output;

namespace OilWatch.Live.Tests;

/// <summary>A synthesised run as a CAN text log with its database, and what a replay as live finds in it.</summary>
internal sealed class CanRun
{
    private CanRun(byte[] log, ReaderOptions readers) => (Log, Readers) = (log, readers);

    public byte[] Log { get; }

    public ReaderOptions Readers { get; }

    public static CanRun Of(string scenario, ulong seed, int laps = 2)
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan(scenario, seed) { Laps = laps });
        CanLayout layout = CanLayout.For(run);
        using var log = new MemoryStream();
        using (var text = new StreamWriter(log, new UTF8Encoding(false), leaveOpen: true)) CanLog.Write(run, layout, text);
        byte[] dbc = DatabaseOf(layout);
        return new CanRun(log.ToArray(), new ReaderOptions { CanDatabases = [new LogSource("engine.dbc", () => new MemoryStream(dbc, writable: false))] });
    }

    /// <summary>The same frames as an adapter sends them: milliseconds that start again every minute, CR at the end.</summary>
    public byte[] AsSlcan()
    {
        var lines = new StringBuilder();
        long zero = -1;
        foreach (string line in Encoding.ASCII.GetString(Log).Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            string[] parts = line.Split(' ');
            long us = (long)(decimal.Parse(parts[0].Trim('(', ')'), CultureInfo.InvariantCulture) * 1_000_000);
            if (zero < 0) zero = us;
            string[] frame = parts[2].Split('#');
            lines.Append(CultureInfo.InvariantCulture, $"{(frame[0].Length == 3 ? 't' : 'T')}{frame[0]}{frame[1].Length / 2}{frame[1]}{(us - zero) / 1000 % 60_000:X4}\r");
        }
        return Encoding.ASCII.GetBytes(lines.ToString());
    }

    public LogSource Source(byte[]? bytes = null) => new("run.log", () => new MemoryStream(bytes ?? Log, writable: false));

    public async Task<string> ReplayedAsync(byte[]? bytes = null) =>
        Alerts(await SessionAnalysis.RunAsync(Source(bytes), new AnalysisRequest { Readers = Readers, AsLive = true }));

    public static string Alerts(SessionResult result)
    {
        using var file = new MemoryStream();
        ResultFiles.WriteAlertsJsonLines(result, file);
        return Encoding.UTF8.GetString(file.ToArray());
    }

    private static byte[] DatabaseOf(CanLayout layout) => Encoding.UTF8.GetBytes(Dbc.Text(layout));
}
