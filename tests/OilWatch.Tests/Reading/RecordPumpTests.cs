using System.IO.Pipelines;
using System.Text;
using CsCheck;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

public class RecordPumpTests
{
    private const int Limit = 16;
    private static readonly string[] Pieces = ["a", "bc", "\n", "\n", "0123456789", "\r\n"];

    [Fact]
    public void Any_split_of_the_bytes_gives_the_same_records() =>
        Gen.Select(
                Gen.Int[0, 5].Select(i => Pieces[i]).Array[0, 60].Select(string.Concat),
                Gen.Int[1, 40].Array[1, 5])
            .Sample(
                (text, sizes) =>
                {
                    string whole = Pumped(text);
                    Assert.Equal(whole, Pumped(text, sizes));
                    Assert.Equal(whole, Pumped(text, 1));
                    Assert.Equal(whole, PumpedByPipe(text, sizes));
                    Assert.Equal(whole, Slow(text));
                },
                seed: "0N0XIzNsQ0O2", iter: 2000);

    [Theory]
    [InlineData("0123456789ABCDE\n", "[0123456789ABCDE]")]        // 16 bytes with the line end: the longest record
    [InlineData("0123456789ABCDEF\n", "too long")] // one more
    [InlineData("0123456789ABCDEF", "[0123456789ABCDEF]")]        // 16 bytes, and the end of the file in place of a line end
    [InlineData("0123456789ABCDEFG", "too long")]
    [InlineData("a\n0123456789ABCDEFGHIJKL\nb\n", "[a]too long[b]")]
    [InlineData("", "")]
    public void A_record_right_at_the_limit_is_read_and_one_beyond_it_is_skipped(string text, string expected)
    {
        for (int size = 1; size <= text.Length + 1; size++)
            Assert.Equal(expected, Pumped(text, size));
    }

    [Fact]
    public async Task A_line_of_a_gigabyte_costs_no_more_memory_than_the_buffer()
    {
        var handler = new Lines();
        long before = GC.GetAllocatedBytesForCurrentThread();
        long bytes = await RecordPump.PumpAsync(new EndlessLine(1L << 30, (byte)'x'), handler, CancellationToken.None);
        long allocated = GC.GetAllocatedBytesForCurrentThread() - before;

        Assert.Equal(1L << 30, bytes);
        Assert.Equal(1, handler.TooLongCount);
        Assert.InRange(allocated, 0, 3 * RecordPump.MaxRecordBytes);
    }

    [Fact]
    public async Task A_cancelled_pump_stops()
    {
        using var stop = new CancellationTokenSource();
        await stop.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(async () =>
            await RecordPump.PumpAsync(new EndlessLine(1L << 40, (byte)'\n'), new Lines(), stop.Token));
    }

    [Fact]
    public void A_handler_with_another_line_end_resumes_there()
    {
        var handler = new Lines((byte)'\r');
        Pump("0123456789ABCDEFGHIJ\rb\r", handler, [7]);
        Assert.EndsWith("[b]", handler.Log, StringComparison.Ordinal);
    }

    private static string Pumped(string text, params int[] sizes)
    {
        var handler = new Lines();
        Pump(text, handler, sizes);
        Assert.Equal(1, handler.FinalCount);
        return handler.Log;
    }

    private static void Pump(string text, Lines handler, int[] sizes)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        Assert.Equal(bytes.Length, AtOnce.Wait(RecordPump.PumpAsync(new ChunkedStream(bytes, sizes), handler, Limit, CancellationToken.None)));
    }

    private static string PumpedByPipe(string text, int[] sizes)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        var handler = new Lines();
        PipeReader reader = PipeReader.Create(new ChunkedStream(bytes, sizes), new StreamPipeReaderOptions(bufferSize: 64, minimumReadSize: 1));
        Assert.Equal(bytes.Length, AtOnce.Wait(RecordPump.PumpAsync(reader, handler, Limit, CancellationToken.None)));
        return handler.Log;
    }

    /// <summary>What should come out, said plainly.</summary>
    private static string Slow(string text)
    {
        var log = new StringBuilder();
        string[] lines = text.Split('\n');
        for (int i = 0; i < lines.Length; i++)
        {
            bool ended = i < lines.Length - 1;
            if (lines[i].Length + (ended ? 1 : 0) > Limit) log.Append("too long");
            else if (ended || lines[i].Length > 0) log.Append('[').Append(lines[i]).Append(']');
        }
        return log.ToString();
    }

    /// <summary>Writes down the lines it is given.</summary>
    private sealed class Lines(byte lineEnd = (byte)'\n') : IRecordHandler
    {
        private readonly StringBuilder _log = new();

        public int TooLongCount { get; private set; }

        public int FinalCount { get; private set; }

        public string Log => _log.ToString();

        byte IRecordHandler.LineEnd => lineEnd;

        public int Handle(ReadOnlySpan<byte> bytes, bool final)
        {
            int used = 0;
            while (bytes[used..].IndexOf(lineEnd) is var length && length >= 0)
            {
                Add(bytes.Slice(used, length));
                used += length + 1;
            }
            if (!final) return used;
            FinalCount++;
            if (used < bytes.Length) Add(bytes[used..]);
            return bytes.Length;
        }

        public void TooLong(ReadOnlySpan<byte> beginning)
        {
            TooLongCount++;
            Assert.Equal(Limit + 1, Math.Min(beginning.Length, Limit + 1));
            _log.Append("too long");
        }

        private void Add(ReadOnlySpan<byte> line) => _log.Append('[').Append(Encoding.UTF8.GetString(line)).Append(']');
    }
}
