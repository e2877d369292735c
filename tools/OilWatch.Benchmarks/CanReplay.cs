using System.Globalization;
using System.Text;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Reading.Can;

namespace OilWatch.Benchmarks;

/// <summary>How fast a CAN text log is read: <c>make-can PATH FRAMES</c> writes one with its database beside it, <c>can PATH</c> reads it.</summary>
internal static class CanReplay
{
    private const int Messages = 12;
    private const int Passes = 9;
    private const double FramesPerSecond = 4_000;

    private static readonly string[] Wanted = ["OilPressure", "EngineSpeed", "LateralG", "OilTemperature"];

    /// <summary>Writes a log of 12 ids with 8 bytes and 4 signals each, the first ones evenly mixed, and its database.</summary>
    /// <param name="path">The log; the database has the ending <c>.dbc</c>.</param>
    /// <param name="frames">How many frames.</param>
    public static void Make(string path, long frames)
    {
        File.WriteAllText(DatabaseOf(path), Database());
        using var file = new StreamWriter(path, append: false, Encoding.ASCII, 1 << 20);
        var random = new Random(20_261_125);
        byte[] data = new byte[8];
        char[] line = new char[64];
        for (long i = 0; i < frames; i++)
        {
            long micro = 1_436_509_052_249_713 + (long)(i * (1e6 / FramesPerSecond));
            random.NextBytes(data);
            line.AsSpan().TryWrite(
                CultureInfo.InvariantCulture,
                $"({micro / 1_000_000}.{micro % 1_000_000:D6}) can0 {0x100 + (i % Messages):X3}#{Convert.ToHexString(data)}\n",
                out int length);
            file.Write(line, 0, length);
        }
    }

    /// <summary>Reads a log several times and prints how fast, beside counting its lines.</summary>
    public static async Task RunAsync(string path)
    {
        var log = new LogSource(Path.GetFileName(path), () => Open(path));
        var options = new ReaderOptions { CanDatabases = [new LogSource(Path.GetFileName(DatabaseOf(path)), () => Open(DatabaseOf(path)))] };
        ILogReader reader = await CanTextFormat.OpenAsync(log, options, CancellationToken.None);
        int[] four = [.. Wanted.Select(name => reader.Channels.First(channel => string.Equals(channel.Name, name, StringComparison.Ordinal)).Index)];
        int[] all = [.. reader.Channels.Select(channel => channel.Index)];

        (double count, _, _) = await BestAsync(() => CountLinesAsync(path));
        long bytes = new FileInfo(path).Length;
        Console.WriteLine(FormattableString.Invariant($"counting lines: {count * 1e3:F1} ms, {bytes / count / 1e9:F2} GB/s"));
        await PrintAsync("4 signals of 3 ids", reader, four, count);
        await PrintAsync("all signals", reader, all, count);
        await PrintAsync("nothing wanted", reader, [], count);
    }

    private static async Task PrintAsync(string what, ILogReader reader, int[] selected, double count)
    {
        (double seconds, long frames, long allocated) = await BestAsync(async () =>
            (await reader.ReadAsync(selected, new Last())).Lines);
        Console.WriteLine(FormattableString.Invariant($"{what}: {frames / seconds / 1e6:F1} M frames/s, {seconds / count:F1} x counting lines, {(double)allocated / frames:F4} B a frame"));
    }

    /// <summary>The best of several passes, in seconds of processor time: on a shared machine wall time measures the neighbours.</summary>
    private static async Task<(double Seconds, long Result, long Allocated)> BestAsync(Func<Task<long>> pass)
    {
        double best = double.MaxValue;
        long result = 0, allocated = 0;
        for (int i = 0; i < Passes; i++)
        {
            long before = GC.GetTotalAllocatedBytes(precise: true);
            TimeSpan start = Environment.CpuUsage.TotalTime;
            result = await pass();
            double seconds = (Environment.CpuUsage.TotalTime - start).TotalSeconds;
            allocated = GC.GetTotalAllocatedBytes(precise: true) - before;
            best = Math.Min(best, seconds);
        }
        return (best, result, allocated);
    }

    private static async Task<long> CountLinesAsync(string path)
    {
        using FileStream stream = Open(path);
        byte[] block = new byte[256 * 1024];
        long lines = 0;
        int count;
        while ((count = await stream.ReadAsync(block)) > 0) lines += block.AsSpan(0, count).Count((byte)'\n');
        return lines;
    }

    // One call a block: no second buffer, and no thread to wait for at the end of each read.
    private static FileStream Open(string path) => new(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0);

    private static string DatabaseOf(string path) => Path.ChangeExtension(path, ".dbc");

    private static string Database()
    {
        var text = new StringBuilder("VERSION \"\"\nBU_: ECU\n");
        for (int message = 0; message < Messages; message++)
        {
            text.Append(CultureInfo.InvariantCulture, $"BO_ {0x100 + message} Message{message}: 8 ECU\n");
            for (int signal = 0; signal < 4; signal++)
            {
                string name = signal == 0 && message < 3 ? Wanted[message] : message == 2 && signal == 1 ? Wanted[3] : $"Signal{message}_{signal}";
                string layout = message % 2 == 0 ? $"{16 * signal}|16@1" : $"{(16 * signal) + 7}|16@0";
                text.Append(CultureInfo.InvariantCulture, $" SG_ {name} : {layout}{(signal == 1 ? '-' : '+')} (0.01,0) [0|0] \"\" ECU\n");
            }
        }
        return text.ToString();
    }

    /// <summary>Keeps the last value, so that nothing is optimised away.</summary>
    private sealed class Last : IReadingSink
    {
        private double _value;

        public void Add(LogTime at, int channel, double value) => _value = value;

        public void EndRecord(LogTime at)
        {
            if (double.IsInfinity(_value)) throw new InvalidOperationException("a reader gives finite values or NaN");
        }

        public void DataLost(LogTime at)
        {
        }
    }
}
