using System.Globalization;
using System.Text;
using CsCheck;
using nietras.SeparatedValues;
using OilWatch.Reading;
using OilWatch.Reading.Csv;

namespace OilWatch.Tests.Reading;

public class CsvPropertyTests
{
    private const string Seed = "0N0XIzNsQ0O2";

    /// <summary>What makes up a CSV file, good and bad.</summary>
    private static readonly string[] Pieces =
    [
        ",", ",", ",", ";", "\t", "\n", "\n", "\r\n", "\r", "\"", "\"\"", " ", "#", "0", "1", "12.5", "-3", "1e3", "99999999999999999999", "NaN", "-", "é", "\0",
        "Time", "Time [s]", "A", "B [kPa]", "s", "kPa", "10:15:30", "2026-04-12T10:15:30Z", "Sample Rate,20\n", "sep=;\n", "x", "\uFEFF", "=", "1,5",
    ];

    private static readonly string[] Heads =
    [
        "Time,A,B\n", "Time;A;B\n", "Time\tA\tB\n", "Note,x\nTime [s],A [kPa],B\ns,kPa,\n", "Time,\"A\nx\",B\r\n", "Sample Rate,20\nA,B\n", "",
    ];

    private static readonly Gen<string> Junk = Gen.Int[0, Pieces.Length - 1].Array[0, 120].Select(indices => string.Concat(indices.Select(i => Pieces[i])));

    /// <summary>A header, some good rows, then anything.</summary>
    private static readonly Gen<string> Logs = Gen.Select(Gen.Int[0, Heads.Length - 1], Gen.Int[0, 8], Junk).Select(
        (head, rows, junk) => Heads[head]
            + string.Concat(Enumerable.Range(0, rows).Select(i => FormattableString.Invariant($"{i},{i * 1.5},{i % 3}\n"))) + junk);

    [Fact]
    public void Any_split_of_the_bytes_gives_the_same_reading() =>
        Gen.Select(Logs, Gen.Int[1, 40].Array[1, 6]).Sample(
            (text, sizes) =>
            {
                byte[] bytes = Encoding.UTF8.GetBytes(text);
                string whole = Everything(bytes);
                Assert.Equal(whole, Everything(bytes, sizes));
                Assert.Equal(whole, Everything(bytes, 1));
            },
            seed: Seed, iter: 1500);

    [Fact]
    public void A_log_longer_than_the_buffers_reads_the_same_at_any_split()
    {
        var text = new StringBuilder("Time,A,\"B\"\n");
        var random = new Random(20261125);
        for (int row = 0; row < 60_000; row++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{row + random.Next(-3, 4)},{random.NextDouble():R},");
            text.Append(random.Next(50) switch
            {
                0 => "\"x\ny\"",
                1 => "\"",
                2 => "\"1.5\"",
                3 => "",
                4 => "\"a\"b",
                5 => "1,2",
                6 => new string('7', random.Next(40_000)),
                _ => "42",
            });
            text.Append(random.Next(9) == 0 ? "\r\n" : "\n");
            if (random.Next(500) == 0) text.Append('8', random.Next(600_000)).Append('\n');
        }
        byte[] bytes = Encoding.UTF8.GetBytes(text.ToString());
        string whole = Digest(bytes);
        foreach (int size in new[] { 511, 65_536, 262_144, 262_145, 300_001 })
            Assert.Equal(whole, Digest(bytes, size));
    }

    [Fact]
    public void Nothing_makes_the_reader_throw_anything_but_an_input_error() =>
        Gen.Select(Logs, Gen.Byte.Array[0, 40], Gen.Int[0, 1000]).Sample(
            (text, bytes, at) =>
            {
                byte[] log = Encoding.UTF8.GetBytes(text);
                int place = log.Length == 0 ? 0 : at % log.Length;
                Read([.. log[..place], .. bytes, .. log[place..]]);
                Read(bytes);
                byte[] packed = LogBytesTests.Packed([.. log, (byte)'\n']);
                Read(packed[..(packed.Length - (at % 10))]);
            },
            seed: Seed, iter: 2000);

    [Fact]
    public void Every_line_is_of_one_class_and_is_counted() =>
        Logs.Sample(
            text =>
            {
                // The text as a whole has at most one line end of each kind that is not counted: those the reader does not use.
                if (text.Contains('\r', StringComparison.Ordinal) || Read(Encoding.UTF8.GetBytes(text)) is not { } report) return;
                int lines = text.Count(letter => letter == '\n') + (text.EndsWith('\n') ? 0 : 1);
                Assert.Equal(lines, report.Lines);
                Assert.Equal(lines, report.Classes.Sum(item => item.Count));
                Assert.Equal(Encoding.UTF8.GetByteCount(text.TrimStart('\uFEFF')), report.Bytes);
            },
            seed: Seed, iter: 2000);

    [Fact]
    public void Times_given_to_the_sink_never_go_back() =>
        Logs.Sample(
            text =>
            {
                var order = new Order();
                Read(Encoding.UTF8.GetBytes(text), order);
                Assert.False(order.WentBack);
            },
            seed: Seed, iter: 1500);

    [Fact]
    public void Rows_shuffled_a_little_read_as_if_they_were_in_order() =>
        Gen.Select(Gen.Int[2, 600], Gen.Int[1, RowWindow.Width], Gen.Int).Sample(
            (rows, reach, seed) =>
            {
                var random = new Random(seed);
                int[] order = [.. Enumerable.Range(0, rows).OrderBy(row => row + random.Next(reach))];
                string inOrder = CsvLog.Records("Time [s],A\n" + Rows(Enumerable.Range(0, rows)));
                Assert.Equal(inOrder, CsvLog.Records("Time [s],A\n" + Rows(order)));
            },
            seed: Seed, iter: 200);

    [Fact]
    public void Selecting_more_channels_changes_nothing_for_the_others() =>
        Logs.Sample(
            text =>
            {
                if (TryOpen(Encoding.UTF8.GetBytes(text)) is not { } reader) return;
                for (int channel = 0; channel < reader.Channels.Count; channel++)
                {
                    var alone = new One(channel);
                    var among = new One(channel);
                    AtOnce.Wait(reader.ReadAsync([channel], alone));
                    AtOnce.Wait(reader.ReadAsync([.. Enumerable.Range(0, reader.Channels.Count)], among));
                    Assert.Equal(alone.ToString(), among.ToString());
                }
            },
            seed: Seed, iter: 1000);

    /// <summary>Another implementation of RFC 4180 reads the same values from random tables.</summary>
    [Fact]
    public void Sep_reads_the_same_numbers() =>
        (from separator in Gen.Int[0, 2].Select(i => ",;\t"[i])
         from columns in Gen.Int[1, 8]
         from rows in Gen.Int[1, 30]
         from seed in Gen.Int
         select (separator, columns, rows, seed)).Sample(
            table =>
            {
                string text = RandomTable(table.separator, table.columns, table.rows, new Random(table.seed));
                var expected = new StringBuilder();
                using SepReader sep = Sep.New(table.separator).Reader(o => o with { Unescape = true }).FromText(text);
                foreach (SepReader.Row row in sep)
                {
                    if (expected.Length > 0) expected.Append('\n');
                    expected.Append(row[0].ToString()).Append(':');
                    for (int column = 1; column <= table.columns; column++)
                        if (row[column].Span.Length > 0)
                            expected.Append(CultureInfo.InvariantCulture, $" c{column}={double.Parse(row[column].Span, CultureInfo.InvariantCulture):R}");
                }
                Assert.Equal(expected.ToString(), CsvLog.Records(text));
            },
            seed: Seed, iter: 1000);

    /// <summary>RFC 4180. Vectors and records: check-values 15 (COMPUTED, Python 3.11.2 csv), the malformed one as an error.</summary>
    [Theory]
    [InlineData("a,b,c\r\n", "a|b|c")]
    [InlineData("\"a\",\"b \"\"q\"\"\",c", "a|b \"\"q\"\"|c")]      // the raw cell: doubled quotes are undone where a name is made of it
    [InlineData("\"line1\r\nline2\",2", "line1\r\nline2|2")]
    [InlineData("a,,", "a||")]
    [InlineData(",", "|")]
    [InlineData("\"\",x", "|x")]
    [InlineData(" a , b ", " a | b ")]
    [InlineData("a,b", "a|b")]
    [InlineData("\"a\"x,b", "malformed")]
    [InlineData("\"a\" ,b", "a|b")]
    [InlineData("a\"b,c", "a\"b|c")]
    [InlineData("\"a", "malformed")]
    public void Rows_are_cut_by_the_book(string text, string expected)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        var cells = new CsvCells();
        RowScan scan = cells.Scan(bytes, final: true, (byte)',', (byte)'\n');
        string actual = scan == RowScan.Row
            ? string.Join('|', Enumerable.Range(0, cells.Count).Select(i => Encoding.UTF8.GetString(bytes[cells[i].Start..cells[i].End])))
            : scan.ToString().ToLowerInvariant();
        Assert.Equal(expected, actual);
        if (scan == RowScan.Row) Assert.Equal(bytes.Length, cells.Used);
    }

    /// <summary>The marks found 64 bytes at a time are those that a plain loop finds.</summary>
    [Fact]
    public unsafe void Marks_are_where_a_plain_loop_finds_them() =>
        Gen.Char[",,\n\"ab"].Array[0, 400].Sample(
            letters =>
            {
                byte[] bytes = Encoding.ASCII.GetBytes(letters);
                List<int> marks = [-1], lines = [];
                bool quoted = false;
                for (int i = 0; i < bytes.Length; i++)
                {
                    quoted |= bytes[i] == '"';
                    if (bytes[i] is not ((byte)',' or (byte)'\n')) continue;
                    marks.Add(i);
                    if (bytes[i] != '\n') continue;
                    lines.Add(((marks.Count - 1) << 1) | (quoted ? 1 : 0));
                    quoted = false;
                }
                var found = new CsvMarks();
                fixed (byte* first = bytes.Length == 0 ? new byte[1] : bytes) found.Find(first, bytes.Length, (byte)',', (byte)'\n');
                Assert.Equal(lines, new Span<int>(found.Lines, found.LineCount).ToArray());
                Assert.Equal(marks, new Span<int>(found.Marks, marks.Count).ToArray());
            },
            seed: Seed, iter: 2000);

    [Fact]
    public void A_row_costs_no_memory()
    {
        ILogReader few = CsvLog.Open(Table(20_000)), many = CsvLog.Open(Table(60_000));
        var sink = new One(0);
        Allocated(few);
        Allocated(many);
        long one = Allocated(few), three = Allocated(many);
        Assert.InRange(three - one, -20_000, 20_000);      // buffers may be rented afresh; a byte a row would be 40,000

        long Allocated(ILogReader reader)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            AtOnce.Wait(reader.ReadAsync([0, 2], new Order()));
            return GC.GetAllocatedBytesForCurrentThread() - before;
        }

        // Rows of every kind that goes on for ever: plain, quoted, ragged, with text, repeated, without a time, blank.
        static string Table(int rows) => "Time,A,B,C\n" + string.Concat(Enumerable.Range(0, rows).Select(i => (i % 9) switch
        {
            0 => $"{i},\"1.5\",2,3\n",
            1 => $"{i},1\n",
            2 => $"{i},oops,2,3\n",
            3 => $"{i - 1},oops,2,3\n",
            4 => ",,,\n",
            5 => "\n",
            _ => $"{i},1.25,-3,4\n",
        }));
    }

    private static string Rows(IEnumerable<int> order) => string.Concat(order.Select(row => FormattableString.Invariant($"{row},{row * 7}\n")));

    private static string RandomTable(char separator, int columns, int rows, Random random)
    {
        var text = new StringBuilder("Time");
        for (int column = 1; column <= columns; column++) text.Append(separator).Append('c').Append(column.ToString(CultureInfo.InvariantCulture));
        text.Append('\n');
        for (int row = 0; row < rows; row++)
        {
            text.Append(row.ToString(CultureInfo.InvariantCulture));
            for (int column = 1; column <= columns; column++)
            {
                string value = row == 0 ? "1.5" : random.Next(6) switch
                {
                    0 => "",
                    1 => random.Next(-10_000, 10_000).ToString(CultureInfo.InvariantCulture),
                    2 => (random.NextDouble() * 1e6).ToString("R", CultureInfo.InvariantCulture),
                    3 => (random.NextDouble() - 0.5).ToString("0.000", CultureInfo.InvariantCulture),
                    4 => random.NextInt64().ToString(CultureInfo.InvariantCulture),
                    _ => (random.NextDouble() * 1e-9).ToString("E3", CultureInfo.InvariantCulture),
                };
                text.Append(separator).Append(random.Next(4) == 0 ? $"\"{value}\"" : value);
            }
            text.Append(random.Next(3) == 0 ? "\r\n" : "\n");
        }
        return text.ToString();
    }

    private static ILogReader? TryOpen(byte[] bytes, params int[] sizes)
    {
        try
        {
            return CsvLog.Open(bytes, sizes);
        }
        catch (InputException error)
        {
            Assert.StartsWith("session.csv", error.Message, StringComparison.Ordinal);
            return null;
        }
    }

    private static ReadingReport? Read(byte[] bytes, IReadingSink? sink = null) =>
        TryOpen(bytes) is { } reader ? CsvLog.Read(reader, sink ?? new Order(), [.. Enumerable.Range(0, reader.Channels.Count)]) : null;

    private static string Everything(byte[] bytes, params int[] sizes)
    {
        try
        {
            ILogReader reader = CsvLog.Open(bytes, sizes);
            var notes = new CsvLog.Notes(reader.Channels);
            ReadingReport report = CsvLog.Read(reader, notes, [.. Enumerable.Range(0, reader.Channels.Count)]);
            return string.Join('\n', CsvLog.Channels(reader), string.Join('\n', reader.Assumptions), notes, CsvLog.Classes(report), CsvLog.Problems(report),
                report.First, report.Last, report.TimeWentBack, report.ProblemCount, report.Bytes);
        }
        catch (InputException error)
        {
            return error.Message;
        }
    }

    private static string Digest(byte[] bytes, params int[] sizes) =>
        Convert.ToHexString(System.Security.Cryptography.SHA256.HashData(Encoding.UTF8.GetBytes(Everything(bytes, sizes))));

    /// <summary>Only looks whether time goes back.</summary>
    private sealed class Order : IReadingSink
    {
        private LogTime? _last;

        public bool WentBack { get; private set; }

        public void Add(LogTime at, int channel, double value) => See(at);

        public void EndRecord(LogTime at) => See(at);

        public void DataLost(LogTime at) => See(at);

        private void See(LogTime at)
        {
            WentBack |= _last > at;
            _last = at;
        }
    }

    /// <summary>Writes one channel down.</summary>
    private sealed class One(int wanted) : IReadingSink
    {
        private readonly StringBuilder _text = new();

        public void Add(LogTime at, int channel, double value)
        {
            if (channel == wanted) _text.Append(CultureInfo.InvariantCulture, $"{at.Nanoseconds}={value:R} ");
        }

        public void EndRecord(LogTime at) => _text.Append(CultureInfo.InvariantCulture, $"{at.Nanoseconds} ");

        public void DataLost(LogTime at) => _text.Append("lost ");

        public override string ToString() => _text.ToString();
    }
}
