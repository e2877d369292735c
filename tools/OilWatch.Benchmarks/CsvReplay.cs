using System.Diagnostics;
using System.Globalization;
using BenchmarkDotNet.Attributes;
using OilWatch.Reading;

namespace OilWatch.Benchmarks;

/// <summary>The CSV reader on a log of real size, and its number parser alone.</summary>
[MemoryDiagnoser]
public class CsvReplay
{
    private const int UsualRateHz = 100;
    private const double LapRadiansPerS = 2 * Math.PI / 120;
    private static readonly string[] Names =
    [
        "Oil Press", "Engine Speed", "Lateral G", "Oil Temp", "Long G", "Speed", "Throttle", "Water Temp", "Fuel Press", "Battery",
        "Crankcase", "Lap", "Latitude", "Longitude", "Vibration", "Lambda 1", "Lambda 2", "Gear", "Steering",
    ];

    private byte[] _bytes = [];
    private ILogReader? _reader;

    /// <summary>Writes a log of a time and 19 channels, all of them in every row.</summary>
    internal static async Task<int> MakeAsync(string[] args)
    {
        int rateHz = UsualRateHz;
        if (args is not [var path, var count, ..] || args.Length > 3 || !int.TryParse(count, NumberStyles.None, CultureInfo.InvariantCulture, out int rows)
            || (args.Length == 3 && !int.TryParse(args[2], NumberStyles.None, CultureInfo.InvariantCulture, out rateHz)) || rateHz is < 1 or > 1000)
        {
            await Console.Error.WriteLineAsync("make-csv PATH ROWS [HZ]");
            return 2;
        }
        await using var writer = new StreamWriter(path, append: false, System.Text.Encoding.ASCII, 1 << 16);
        Write(writer, rows, rateHz);
        return 0;
    }

    /// <summary>Reads a log several times and says how fast.</summary>
    internal static async Task<int> ReadAsync(string[] args)
    {
        int passes = 5, at = Array.IndexOf(args, "--passes");
        if (at >= 0)
        {
            passes = int.Parse(args[at + 1], CultureInfo.InvariantCulture);
            args = [.. args[..at], .. args[(at + 2)..]];
        }
        if (args.Length == 0)
        {
            await Console.Error.WriteLineAsync("csv PATH [CHANNEL...] [--passes N]");
            return 2;
        }
        (string path, string[] names) = (args[0], args[1..]);
        var opening = Stopwatch.StartNew();
        ILogReader reader = await LogFile.OpenAsync(new LogSource(Path.GetFileName(path), () => new FileStream(
            path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0, FileOptions.SequentialScan)));
        Console.WriteLine($"opened in {opening.Elapsed.TotalMilliseconds:0.0} ms");
        foreach (string assumption in reader.Assumptions) Console.WriteLine(assumption);
        int[] selected = names.Length > 0
            ? [.. reader.Channels.Where(channel => names.Contains(channel.Name, StringComparer.Ordinal)).Select(channel => channel.Index)]
            : [.. Enumerable.Range(0, Math.Min(4, reader.Channels.Count))];
        Console.WriteLine($"{selected.Length} of {reader.Channels.Count} channels");
        for (int pass = 0; pass < passes; pass++)
        {
            var sink = new Total();
            long before = GC.GetTotalAllocatedBytes(precise: true);
            TimeSpan cpu = Environment.CpuUsage.TotalTime;
            var watch = Stopwatch.StartNew();
            ReadingReport report = await reader.ReadAsync(selected, sink);
            double seconds = watch.Elapsed.TotalSeconds;
            double cpuSeconds = (Environment.CpuUsage.TotalTime - cpu).TotalSeconds;
            long allocated = GC.GetTotalAllocatedBytes(precise: true) - before;
            Console.WriteLine(
                $"{report.Bytes / seconds / 1e6:0} MB/s, {report.Bytes / cpuSeconds / 1e6:0} a CPU second, {seconds * 1e3:0} ms, {allocated} B allocated, {sink.Records} records, {sink.Readings} readings, sum {sink.Sum:R}, {report.ProblemCount} problems");
        }
        return 0;
    }

    /// <summary>20,000 rows in memory.</summary>
    [GlobalSetup]
    public async Task SetUp()
    {
        var stream = new MemoryStream();
        await using (var writer = new StreamWriter(stream)) Write(writer, 20_000, UsualRateHz);
        _bytes = stream.ToArray();
        _reader = await LogFile.OpenAsync(new LogSource("log.csv", () => new MemoryStream(_bytes)));
    }

    /// <summary>All of it, so many channels.</summary>
    [Benchmark]
    [Arguments(1)]
    [Arguments(4)]
    [Arguments(19)]
    public async Task<double> Rows(int channels)
    {
        var sink = new Total();
        await _reader!.ReadAsync([.. Enumerable.Range(0, channels)], sink);
        return sink.Sum;
    }

    private static void Write(TextWriter writer, int rows, int rateHz)
    {
        writer.Write("Time," + string.Join(',', Names) + "\n");
        var random = new Random(20261125);
        for (int row = 0; row < rows; row++)
        {
            double t = (double)row / rateHz, g = 1.3 * Math.Sin(t * 0.4), rpm = 5200 + (1800 * Math.Sin(t * 0.7));
            writer.Write(string.Create(CultureInfo.InvariantCulture, $"{t:0.000},{Noise(420 + (rpm / 40), 6):0.0},{Noise(rpm, 20):0},{Noise(g, 0.03):0.000},{Noise(108, 0.3):0.0},{Noise(0.2, 0.05):0.000},"));
            writer.Write(string.Create(CultureInfo.InvariantCulture, $"{Noise(142, 4):0.0},{Noise(60, 9):0.0},{Noise(92, 0.2):0.0},{Noise(400, 3):0.0},{Noise(13.8, 0.05):0.00},{Noise(-12, 0.8):0.0},{(int)(t / 120)},"));
            writer.Write(string.Create(CultureInfo.InvariantCulture, $"{48.5 + (0.005 * Math.Sin(t * LapRadiansPerS)):0.000000},{9.2 + (0.007 * Math.Cos(t * LapRadiansPerS)):0.000000},{Noise(2.1, 0.3):0.00},{Noise(0.9, 0.01):0.000},{Noise(0.9, 0.01):0.000},{3 + ((int)(t / 3) % 3)},{Noise(g * 40, 3):0.0}\n"));
        }

        double Noise(double middle, double spread) => middle + (spread * ((2 * random.NextDouble()) - 1));
    }

    /// <summary>Adds everything up.</summary>
    private sealed class Total : IReadingSink
    {
        public long Records { get; private set; }

        public long Readings { get; private set; }

        public double Sum { get; private set; }

        public void Add(LogTime at, int channel, double value)
        {
            Readings++;
            Sum += value;
        }

        public void EndRecord(LogTime at) => Records++;

        public void DataLost(LogTime at)
        {
            // A CSV log never says so.
        }
    }
}
