using System.Buffers.Text;
using System.Diagnostics;
using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Live.Sources;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Benchmarks;

/// <summary>A watch in this process, as fast as it can: what a frame costs in time and in memory, and whether memory grows with the number of frames.</summary>
internal static class LiveBench
{
    public const string Usage = "live [MILLIONS_OF_FRAMES] [--drops]";

    public static async Task<int> RunAsync(string[] args)
    {
        bool drops = args.Contains("--drops", StringComparer.Ordinal);
        int millions = args.Length > 0 && args[0][0] != '-' ? int.Parse(args[0], CultureInfo.InvariantCulture) : 10;
        var database = new LogSource("engine.dbc", () => new MemoryStream(Encoding.ASCII.GetBytes(LatencyBench.Database)));
        var frames = new FrameStream(millions * 1_000_000L, drops);
        int raised = 0;
        var desk = new LiveDesk(AlertLifeOptions.Default, new Counter(() => raised++));
        var clock = Stopwatch.StartNew();
        var steps = new List<double>(millions * 100);
        long allocated = GC.GetTotalAllocatedBytes(precise: true);
        frames.Passed = count =>
        {
            long now = GC.GetTotalAllocatedBytes(precise: true);
            steps.Add((now - allocated) / (double)FrameStream.Step);
            if (count % 1_000_000 == 0)
            {
                Console.WriteLine(FormattableString.Invariant(
                    $"{count / 1e6,4:F0} M frames   {clock.Elapsed.TotalSeconds,6:F1} s   bytes allocated a frame: mean {steps.Average(),5:F1}, none in {steps.Count(step => step == 0),3} of {steps.Count} steps of 10,000   {Process.GetCurrentProcess().WorkingSet64 / 1048576.0,5:F0} MiB in memory"));
                steps.Clear();
                now = GC.GetTotalAllocatedBytes(precise: true);
            }
            allocated = now;
        };
        SessionResult result = await LiveWatch.RunAsync(new StreamSource("made", () => frames), desk.Into(new LiveRequest { Readers = ReaderOptions.Default with { CanDatabases = [database] } }));
        Console.WriteLine(FormattableString.Invariant($"{raised} alerts raised, {result.Alerts.Length} in the result; {result.Reading.Problems.Length} problems"));
        return 0;
    }

    private sealed class Counter(Action raised) : ILiveListener
    {
        public string Name => "counter";

        public void OnChange(AlertChange change)
        {
            if (change.Phase == AlertPhase.Raised) raised();
        }
    }

    /// <summary>The frames of <see cref="LatencyBench"/>, eight a millisecond, made without allocating.</summary>
    private sealed class FrameStream(long count, bool drops) : Stream
    {
        private const int FramesAMs = 8;
        public const long Step = 10_000;
        private readonly byte[] _line = new byte[128];
        private int _left;
        private int _used;
        private long _made;
        private long _next = Step;

        public Action<long>? Passed { get; set; }

        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count1) => Read(buffer.AsSpan(offset, count1));

        public override int Read(Span<byte> to)
        {
            int written = 0;
            while (written < to.Length)
            {
                if (_left == 0 && !Make()) break;
                int part = Math.Min(_left, to.Length - written);
                _line.AsSpan(_used, part).CopyTo(to[written..]);
                _used += part;
                _left -= part;
                written += part;
            }
            return written;
        }

        public override void Flush() => throw new NotSupportedException();
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count1) => throw new NotSupportedException();

        private bool Make()
        {
            if (_made >= count) return false;
            if (_made == _next)
            {
                Passed?.Invoke(_made);
                _next += Step;
            }
            long ms = _made / FramesAMs, micro = (ms * 1000) + (_made % FramesAMs * 1000 / FramesAMs);
            int i = (int)(_made++ % FramesAMs);
            Span<byte> line = _line;
            int at = 0;
            line[at++] = (byte)'(';
            Utf8Formatter.TryFormat(micro / 1_000_000, line[at..], out int size);
            at += size;
            line[at++] = (byte)'.';
            Utf8Formatter.TryFormat(micro % 1_000_000, line[at..], out size, new System.Buffers.StandardFormat('D', 6));
            at += size;
            ") can0 "u8.CopyTo(line[at..]);
            at += 7;
            if (i == 0 && ms % LatencyBench.EngineEveryMs == 0)
            {
                "100#"u8.CopyTo(line[at..]);
                at = LatencyBench.EngineInto(line, at + 4, drops ? ms : ms % LatencyBench.QuietMs);
            }
            else
            {
                Utf8Formatter.TryFormat(0x200 + (i * 16) + (ms % 16), line[at..], out size, new System.Buffers.StandardFormat('X', 3));
                at += size;
                "#0011223300FF00FF"u8.CopyTo(line[at..]);
                at += 17;
            }
            line[at++] = (byte)'\n';
            _used = 0;
            _left = at;
            return true;
        }
    }
}
