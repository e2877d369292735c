using System.Buffers;
using System.Globalization;
using System.IO.Pipelines;
using System.Text;
using CsCheck;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class CanPropertyTests
{
    private const string Seed = "0000KanbUS02";

    private static readonly CanCatalog Everything = CanCatalog.Build([Database($"{CheckDatabase}\nBO_ 2566844160 Ext: 8 X\n SG_ X : 24|8@1+ (4,0) [0|0] \"\" X\n")], survey: null);

    /// <summary>Pieces that lines are made of, good and bad, so that random lines are often almost right.</summary>
    private static readonly Gen<string> Pieces = AnyOf(
        "(", ")", "(1436509052.249713) ", "(1436509052.249713) can0 ", "(1436509053.000000) can0 100#", "(1436509052.249713001) vcan1 ", "(12.5) can0 ",
        "can0 ", "can12345 ", "can1", " ", "  ", "\t", "#", "##", "R", "T", "_", ".", "100", "101", "104", "7E8", "800", "18FEEF00", "20000004", "1FFFFFFF", "3FFFFFFF",
        "0011223344556677", "0178EC40E2010007", "aaBBccDDeeFF0011", "04410C1AF8", "00", "1", "z", "g", "G", "@", "`", "/", ":", "\r", "\n", "\r\n", "\n\n", " R\n", " T\r\n",
        "DROPCOUNT: dropped 1\n", "# c\n", " can0  100   [2]  11 22\n", "\u00E9", "\0");

    private static readonly Gen<string> GoodLine = Gen.Select(
        Gen.Long[1_436_509_050L * 1_000_000, 1_436_509_055L * 1_000_000], AnyOf("can0", "can1", "vcan12", "longer_interface"),
        AnyOf("100", "101", "102", "103", "104", "7E8", "18FEEF00", "18FEEF27", "0CF00400", "456"), Gen.Byte.Array[0, 8], AnyOf("\n", "\n", "\n", "\r\n", " \n", " R\n"),
        (micro, name, id, data, end) => string.Create(CultureInfo.InvariantCulture,
            $"({micro / 1_000_000}.{micro % 1_000_000:D6}) {name} {id}#{Convert.ToHexString(data)}{end}"));

    private static readonly Gen<byte[]> Logs = Gen.OneOf(
        Gen.Select(GoodLine.Array[0, 40], Pieces.Array[0, 20], (lines, pieces) => Encoding.UTF8.GetBytes(string.Concat(lines) + string.Concat(pieces) + string.Concat(lines))),
        Gen.Select(GoodLine.Array[1, 30], Gen.Select(Gen.Int[0, 5_000], Gen.Byte).Array[0, 10], Mutated),
        Pieces.Array[0, 120].Select(pieces => Encoding.UTF8.GetBytes(string.Concat(pieces))),
        Gen.Byte.Array[0, 500]);

    [Fact]
    public void The_quick_way_gives_what_the_general_way_gives() =>
        Logs.Sample(log => string.Equals(Hear(log, quick: true), Hear(log, quick: false), StringComparison.Ordinal), seed: Seed, iter: 3_000);

    [Fact]
    public void Every_byte_at_every_place_of_an_ordinary_line_is_judged_alike()
    {
        byte[] head = Encoding.ASCII.GetBytes("(1436509052.249713) can0 100#0011223344556677\n");
        foreach (string text in new[] { "(1436509052.249713) can0 100#0011223344556677\n", "(1436509053.249713001) can0 18FEEF00#0011\r\n", "(1436509053.249713) can0 7FF#\n" })
        {
            byte[] line = Encoding.ASCII.GetBytes(text);
            byte[] log = [.. head, .. line, .. head, .. head];
            for (int at = head.Length; at < head.Length + line.Length; at++)
            {
                byte kept = log[at];
                for (int value = 0; value < 256; value += value < 0x80 ? 1 : 0x11) // all of ASCII, and some beyond
                {
                    log[at] = (byte)value;
                    Assert.Equal(Hear(log, quick: false), Hear(log, quick: true));
                }
                log[at] = kept;
            }
        }
    }

    [Fact]
    public void How_the_bytes_are_cut_does_not_matter() =>
        Gen.Select(Logs, Gen.Int[1, 64].Array[1, 20]).Sample(
            (log, cuts) => string.Equals(Hear(log, quick: true), HearInPieces(log, run => new CandumpHandler(run), cuts), StringComparison.Ordinal),
            seed: Seed, iter: 1_000);

    [Fact]
    public void How_the_bytes_of_an_slcan_log_are_cut_does_not_matter() =>
        Gen.Select(SlcanLogs, Gen.Int[1, 64].Array[1, 20]).Sample(
            (log, cuts) => string.Equals(Hear(log, run => new SlcanHandler(run)), HearInPieces(log, run => new SlcanHandler(run), cuts), StringComparison.Ordinal),
            seed: Seed, iter: 1_000);

    [Fact]
    public void A_line_too_long_is_damaged_however_its_bytes_are_cut()
    {
        foreach (int length in new[] { 4095, 4096, 4097, 100_000, 300_000, 600_000 })
        {
            byte[] log = Encoding.ASCII.GetBytes($"(1436509052.249713) can0 100#00\n{new string('0', length)}\n(1436509052.249713) can0 100#00\n");
            string whole = Hear(log, quick: true);
            Assert.Contains("3 lines, 2 frames, 1 damaged", whole, StringComparison.Ordinal);
            Assert.Equal(whole, HearInPieces(log, run => new CandumpHandler(run), [5_000]));
            Assert.Equal(whole, HearInPieces(log, run => new CandumpHandler(run), [1, 4_096, 777]));
        }
    }

    private static readonly Gen<byte[]> SlcanLogs = Gen.OneOf(
        Gen.Select(AnyOf("t1002", "T18FEEF002", "r1002", "t1008", "e1o", "sb256256", "z", "x"), Gen.Byte.Array[0, 8], Gen.Int[0, 60_005], AnyOf("\r", "\n", "\r\n", "\a"),
            (command, data, ms, end) => string.Create(CultureInfo.InvariantCulture, $"{command}{Convert.ToHexString(data)}{ms:X4}{end}")).Array[0, 40]
            .Select(lines => Encoding.ASCII.GetBytes(string.Concat(lines))),
        Gen.Byte.Array[0, 300]);

    [Fact]
    public void A_log_of_any_bytes_is_read_or_refused_with_a_sentence() =>
        Gen.Select(Logs, SlcanLogs).Sample(
            (log, slcan) =>
            {
                Survives(() => CanTextFormat.OpenAsync(Source("x", log), ReaderOptions.Default, CancellationToken.None));
                Survives(() => SlcanFormat.OpenAsync(Source("x", slcan), ReaderOptions.Default, CancellationToken.None));
                Survives(() => SlcanFormat.OpenAsync(Source("x", log), ReaderOptions.Default, CancellationToken.None));
                _ = CanTextFormat.Recognise(log) | SlcanFormat.Recognise(log) | SlcanFormat.Recognise(slcan);
                return true;
            },
            seed: Seed, iter: 1_000);

    [Fact]
    public void A_database_of_any_bytes_is_read_or_refused_with_a_sentence()
    {
        byte[] good = Encoding.UTF8.GetBytes(CheckDatabase + "\nSG_MUL_VAL_ 260 OilP M 0-0, 2-3;\nBA_DEF_ BO_ \"VFrameFormat\" ENUM \"A\",\"J1939PG\";\nBA_ \"VFrameFormat\" BO_ 256 1;\nCM_ \"x\";\n");
        Gen<string> pieces = AnyOf("BO_ ", "SG_ ", "CM_ ", "BA_ ", "BA_DEF_ ", "SIG_VALTYPE_ ", "SG_MUL_VAL_ ", "NS_ :\n", "\"", "\\\"", ";", ":", "|", "@", "1", "0", "+", "-", "(1,0)", "[0|0]",
            "M ", "m0 ", "m1M ", " : 0|8@1+ (1,0) [0|0] \"\" X\n", "\n", " ", "A ", "B ", "256 ", "4294967295 ", "18446744073709551616 ", "VECTOR__INDEPENDENT_SIG_MSG", ",", "ENUM ", "\"VFrameFormat\" ", "é", "\0");
        Gen<byte[]> files = Gen.OneOf(
            Gen.Select(Gen.Const(good), Gen.Select(Gen.Int[0, 5_000], Gen.Byte).Array[1, 20], (bytes, edits) => Mutated([Encoding.UTF8.GetString(bytes)], edits)),
            pieces.Array[0, 150].Select(parts => Encoding.UTF8.GetBytes(string.Concat(parts))),
            Gen.Byte.Array[0, 300]);
        byte[] log = Encoding.ASCII.GetBytes("(1.0) can0 100#0011223344556677\n(1.1) can0 104#0011223344556677\n(1.2) can0 102#0011\n");

        files.Sample(
            file =>
            {
                Survives(() => CanTextFormat.OpenAsync(Source("x", log), new ReaderOptions { CanDatabases = [Source("x.dbc", file)] }, CancellationToken.None));
                return true;
            },
            seed: Seed, iter: 2_500);
    }

    [Fact]
    public void A_text_without_any_closing_quote_takes_no_longer_than_one_search()
    {
        string text = $"BO_ 1 Good: 8 X\n{string.Concat(Enumerable.Repeat("CM_ \\\" \\\"\n", 200_000))}";

        CanDatabase database = Database(text);

        Assert.Equal("Good", database.Messages[0].Name);
    }

    [Fact]
    public void Reading_a_frame_allocates_nothing()
    {
        byte[] log = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat(
            "(1436509052.249713) can0 100#0011223344556677\n(1436509052.249714) can0 104#0011223344556677\n(1436509052.249714) can0 18FEEF00#0011223344556677\n" +
            "(1436509053.249714) can0 104#00112233445566.77\n(1436509052.249714) can0 456#00\n(1436509052.249714) can0 7E8#04410C1AF8\n", 1_000)));
        var sink = new Nothing();
        var handler = new CandumpHandler(new CanRun("x", AllOf(Everything), sink));
        handler.Handle(log, final: false);                                       // whatever is made once is made now

        long before = GC.GetAllocatedBytesForCurrentThread();
        handler.Handle(log, final: false);
        long allocated = GC.GetAllocatedBytesForCurrentThread() - before;

        Assert.Equal(0, allocated);
        Assert.True(sink.Count > 10_000);
    }

    private static Gen<string> AnyOf(params string[] choices) => Gen.Int[0, choices.Length - 1].Select(index => choices[index]);

    private static CanDecoder AllOf(CanCatalog catalog) => new(catalog, [.. catalog.Channels.Select(channel => channel.Index)]);

    private static byte[] Mutated(string[] lines, (int At, byte Value)[] edits)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(string.Concat(lines));
        foreach ((int at, byte value) in edits) bytes[at % bytes.Length] = value;
        return bytes;
    }

    private static void Survives(Func<ValueTask<ILogReader>> open)
    {
        try
        {
            Heard heard = Read(open().AsTask().GetAwaiter().GetResult());
            if (heard.Report.Lines != heard.Report.Classes.Sum(one => one.Count)) throw new InvalidOperationException("the classes do not add up");
        }
        catch (InputException refusal) when (refusal.Message.Length > 10)
        {
            return;
        }
    }

    private static string Hear(byte[] log, bool quick) => Hear(log, run => new CandumpHandler(run, quick));

    private static string Hear(byte[] log, Func<CanRun, CanLines> newHandler)
    {
        var heard = new Heard(Everything.Channels);
        var run = new CanRun("x", AllOf(Everything), heard);
        int used = newHandler(run).Handle(log, final: true);
        if (used != log.Length) throw new InvalidOperationException("not everything was used");
        return Tell(heard, run.Report(log.Length, []));
    }

    private static string HearInPieces(byte[] log, Func<CanRun, CanLines> newHandler, int[] cuts)
    {
        var heard = new Heard(Everything.Channels);
        var run = new CanRun("x", AllOf(Everything), heard);
        PipeReader reader = PipeReader.Create(Cut(log, cuts));
        long bytes = RecordPump.PumpAsync(reader, newHandler(run), RecordPump.MaxRecordBytes, CancellationToken.None).AsTask().GetAwaiter().GetResult();
        return Tell(heard, run.Report(bytes, []));
    }

    /// <summary>The bytes as a stream that gives them in pieces of these sizes, over and over.</summary>
    private static PiecewiseStream Cut(byte[] log, int[] cuts) => new(log, cuts);

    private static string Tell(Heard heard, ReadingReport report)
    {
        string classes = string.Join(", ", report.Classes.Where(one => one.Count > 0).Select(one => FormattableString.Invariant($"{one.Count} {one.Name}")));
        return string.Join('\n', [.. heard.Lines, string.Join(' ', heard.Passes), .. report.Problems.Select(problem => problem.ToString()),
            FormattableString.Invariant($"{report.Bytes} bytes, {report.Lines} lines, {classes}; {report.First} {report.Last} {report.TimeWentBack} {report.ProblemCount}")]);
    }

    private sealed class Nothing : IReadingSink
    {
        public long Count { get; private set; }

        public void Add(LogTime at, int channel, double value) => Count++;

        public void EndRecord(LogTime at)
        {
        }

        public void DataLost(LogTime at)
        {
        }
    }

    private sealed class PiecewiseStream(byte[] bytes, int[] sizes) : MemoryStream(bytes, writable: false)
    {
        private int _piece;

        public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, Math.Min(count, Next()));

        public override int Read(Span<byte> buffer) => base.Read(buffer[..Math.Min(buffer.Length, Next())]);

        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) =>
            ValueTask.FromResult(Read(buffer.Span));

        private int Next() => sizes[_piece++ % sizes.Length];
    }
}
