using System.Diagnostics;
using System.Globalization;
using OilWatch.Analysis;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Benchmarks;

/// <summary>The whole way of one log in process: bytes to results with every detector, laps and output files, several times over.</summary>
internal static class WholeReplay
{
    public const string Usage = "replay PATH [--can-db PATH] [--passes N] [--live]";

    public static async Task<int> RunAsync(string[] args)
    {
        if (args.Length == 0)
        {
            Console.Error.WriteLine(Usage);
            return 2;
        }
        string? database = After(args, "--can-db");
        int passes = int.Parse(After(args, "--passes") ?? "5", CultureInfo.InvariantCulture);
        var log = new LogSource(Path.GetFileName(args[0]), () => Open(args[0]));
        var request = new AnalysisRequest
        {
            AsLive = args.Contains("--live"),
            OpenScratch = () => new FileStream(Path.GetTempFileName(), FileMode.Open, FileAccess.ReadWrite, FileShare.None, 1 << 16, FileOptions.DeleteOnClose),
            Readers = database is null
                ? ReaderOptions.Default
                : new ReaderOptions { CanDatabases = [new LogSource(Path.GetFileName(database), () => Open(database))] },
        };
        for (int pass = 1; pass <= passes; pass++)
        {
            TimeSpan cpu = Environment.CpuUsage.TotalTime;
            long allocated = GC.GetTotalAllocatedBytes(precise: true);
            var watch = Stopwatch.StartNew();
            SessionResult result = await SessionAnalysis.RunAsync(log, request);
            foreach (ResultFile file in ResultFiles.All) file.Write(result, Stream.Null);
            watch.Stop();
            double cpuS = (Environment.CpuUsage.TotalTime - cpu).TotalSeconds;
            long bytes = GC.GetTotalAllocatedBytes(precise: true) - allocated;
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"pass {pass}: {watch.Elapsed.TotalSeconds:F3} s wall, {cpuS:F3} s processor; {result.Reading.Lines / cpuS / 1e6:F2} M lines/s, {result.Reading.Bytes / cpuS / 1e6:F0} MB/s; allocated {(double)bytes / result.Reading.Lines:F3} B a line; {result.Alerts.Length} alerts; peak {Environment.WorkingSet / 1048576.0:F0} MiB now"));
        }
        return 0;
    }

    private static FileStream Open(string path) =>
        new(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0, FileOptions.SequentialScan);

    private static string? After(string[] args, string option) =>
        args.SkipWhile(arg => !arg.Equals(option, StringComparison.Ordinal)).Skip(1).FirstOrDefault();
}
