using System.Diagnostics;
using System.Text;
using OilWatch.Console.Files;
using OilWatch.Reading;
using OilWatch.Reading.Recording;

namespace OilWatch.Console.Tests;

/// <summary>The program, killed while it records.</summary>
public sealed class KilledWatchTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Killed_at_any_instant_what_it_recorded_reads_back_as_what_it_was_sent(int seed)
    {
        var random = new Random(seed);
        string folder = _bench.PathOf("run");
        using Process program = Process.Start(new ProcessStartInfo("dotnet", [typeof(CommandLine).Assembly.Location, "watch", "-", "--out", folder, "--quiet"])
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        })!;
        var sent = new StringBuilder();
        try
        {
            Stream input = program.StandardInput.BaseStream;
            bool recording = false;
            for (int i = 0, left = random.Next(1, 60); left > 0 && i < 60_000; i++)
            {
                string line = FormattableString.Invariant($"({i / 1000}.{i % 1000:D3}000) can0 0CF00400#F07D859B0FFFFF85\n");
                sent.Append(line);
                input.Write(Encoding.ASCII.GetBytes(line));
                if (i % 10 > 0) continue;
                input.Flush();
                Thread.Sleep(5);
                recording |= _bench.FilesIn("run").Any(name => name.EndsWith(".owr", StringComparison.Ordinal) && new FileInfo(Path.Combine(folder, name)).Length > 200);
                if (recording) left--;
            }
        }
        finally
        {
            program.Kill();
            program.WaitForExit();
        }
        string file = Assert.Single(_bench.FilesIn("run"), name => name.EndsWith(".owr", StringComparison.Ordinal));
        LogSource log = Inputs.Log(Path.Combine(folder, file));
        using var reading = new RecordingStream(log.Open());
        using var kept = new MemoryStream();
        reading.CopyTo(kept);
        string text = Encoding.ASCII.GetString(kept.ToArray());
        Assert.NotEmpty(text);
        Assert.StartsWith(text, sent.ToString(), StringComparison.Ordinal);
        Assert.Equal(0, reading.Blocks.DamagedBytes);
        Assert.DoesNotContain("alerts.jsonl", _bench.FilesIn("run"), StringComparer.Ordinal);
    }
}
