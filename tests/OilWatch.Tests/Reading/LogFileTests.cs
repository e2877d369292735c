using System.Text;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

public class LogFileTests
{
    private const string Logs = "a log is CSV, a CAN text log or SLCAN text, each also packed with gzip";

    [Theory]
    [InlineData("", "the file is empty; " + Logs)]
    [InlineData("RIFF\u0024\u0000\u0000\u0000WAVEfmt ", "this is a WAV file; name it as the file of [channels.vibration] in the car file, and give the log it belongs to here")]
    [InlineData("PK\u0003\u0004\u0014", "this is a ZIP archive or a spreadsheet; unpack it, or save the sheet as CSV")]
    [InlineData("%PDF-1.7\n", "this is a PDF document; " + Logs)]
    [InlineData("BZh91AY", "this is packed with bzip2; unpack it first, only gzip is unpacked here")]
    [InlineData("PAR1\u0015", "this is a Parquet file, which is written here but not read; " + Logs)]
    [InlineData("SQLite format 3\u0000", "this is a SQLite database, perhaps the logbook; " + Logs)]
    [InlineData("$GPRMC,101530,A,4830.0,N,00912.0,E\r\n", "these are NMEA 0183 sentences; they go beside a log, for the laps, not in its place")]
    [InlineData("\n<?xml version=\"1.0\"?>", "this is XML or HTML; " + Logs)]
    [InlineData("{\"a\":1}", "this is JSON; " + Logs)]
    [InlineData("VERSION \"\"\n\nBO_ 546 E: 8 X\n", "this is a CAN database (DBC); give it with --can-db or under [can] in the car file, and the log itself here")]
    [InlineData("\u0000\u0000\u0000\u0000", "the file begins with nothing but zero bytes, as a file does that was never finished; " + Logs)]
    [InlineData("\u0001\u0002\u0003\u0004\u0005\u0006\u0007\u0008\u0009", "these are binary data of a kind not known here (they begin with 0102030405060708); " + Logs)]
    public void What_is_no_log_is_said_with_what_would_be_right(string bytes, string expected)
    {
        Assert.Equal("session.csv: " + expected, CsvLog.Error(Encoding.Latin1.GetBytes(bytes)));
        if (bytes.Length > 0) Assert.Equal("session.csv: " + expected, CsvLog.Error(LogBytesTests.Packed(Encoding.Latin1.GetBytes(bytes))));
    }

    [Theory]
    [InlineData("just some words\nand more of them\n")]
    [InlineData("Time,A\n")]
    [InlineData("\n\n\n")]
    public void Text_without_a_table_is_refused(string text) =>
        Assert.Equal(
            "session.csv: no table of numbers was found in the first 1 KiB; a line of column names and rows of numbers are expected, separated by commas, semicolons or tabs",
            CsvLog.Error(text));

    [Fact]
    public void Packed_twice_is_told() =>
        Assert.Equal("session.csv: this is packed with gzip twice; unpack it once", CsvLog.Error(LogBytesTests.Packed(LogBytesTests.Packed("Time,A\n0,1\n"u8.ToArray()))));

    [Fact]
    public void A_packed_log_is_read_as_if_it_were_not()
    {
        ILogReader reader = CsvLog.Open(LogBytesTests.Packed("Time,A\n0,1\n1,2\n"u8.ToArray()));
        Assert.Equal("0: A=1\n1: A=2", CsvLog.Records(reader));
        Assert.Equal("The file is packed with gzip.", reader.Assumptions[0]);
    }

    [Fact]
    public void A_packed_log_that_is_cut_off_gives_what_is_there_and_says_so()
    {
        byte[] packed = LogBytesTests.Packed(Encoding.UTF8.GetBytes("Time,A\n" + string.Concat(Enumerable.Range(0, 50_000).Select(i => $"{i},{i * 7919 % 1000}\n"))));
        ReadingReport report = CsvLog.Report(CsvLog.Open(packed[..(packed.Length * 3 / 4)]));
        Assert.InRange(report.Lines, 10_000, 49_000);
        Assert.Equal(
            FormattableString.Invariant($"session.csv:{report.Lines}: the gzip data are damaged or cut off here; what came before was read, pack or copy the file again to have the rest"),
            report.Problems[^1].ToString());
    }

    [Fact]
    public void A_file_that_cannot_be_read_is_named()
    {
        InputException error = Assert.Throws<InputException>(() => AtOnce.Wait(LogFile.OpenAsync(new LogSource("a.csv", () => throw new UnauthorizedAccessException("no right to read")))));
        Assert.Equal("a.csv: cannot be read: no right to read", error.Message);
    }

    /// <summary>Files that once were trouble somewhere, kept for ever.</summary>
    [Theory]
    [InlineData("bom-before-the-first-name", "Oil Press [kPa]", "0: Oil Press=412|0.05: Oil Press=408", "rows 2, header 1", 0)]
    [InlineData("utf-16-from-a-spreadsheet", "Oil Temp [°C]", "0: Oil Temp=108.5|0.1: Oil Temp=108.6", "rows 2, header 1", 0)]
    [InlineData("utf-16-without-a-mark", "A", "0: A=1|1: A=2", "rows 2, header 1", 0)]
    [InlineData("windows-1252-degree-sign", "Oil Temp [°C]", "0: Oil Temp=108|1: Oil Temp=109", "rows 2, header 1", 0)]
    [InlineData("preamble-with-more-commas-than-the-table", "Oil Press [kPa]", "0: Oil Press=412.5|0.05: Oil Press=408|0.1: Oil Press=410.2", "rows 3, preamble 2, header 1, units 1", 0)]
    [InlineData("row-of-separators-under-the-header", "A, B", "0: A=1 B=2|1: A=3 B=4", "rows 2, without time 1, header 1", 0)]
    [InlineData("decimal-comma-between-commas", "A, B", "0: A=412.5 B=5200|0.05: A=408 B=5210", "rows 2, header 1", 0)]
    [InlineData("two-columns-of-one-name", "Oil Press, RPM, Oil Press#4", "0: Oil Press=1 RPM=2 Oil Press#4=3|1: Oil Press=4 RPM=5 Oil Press#4=6", "rows 2, header 1", 1)]
    [InlineData("old-line-ends", "A", "0: A=1|1: A=2", "rows 2, header 1", 0)]
    [InlineData("cut-off-by-a-power-cut", "A, B", "0: A=100 B=200|1: A=101 B=201|2:", "rows 3, header 1", 1)]
    [InlineData("zero-filled-by-a-power-cut", "A", "0: A=100|1: A=101|2: A=102|3: A=NaN", "rows 4, header 1", 1)]
    [InlineData("stray-quote", "A, Note", "0: A=1 Note=NaN|2: A=3 Note=NaN|4: A=5 Note=NaN", "rows 3, header 1, damaged 2", 2)]
    [InlineData("two-logs-joined", "A [kPa]", "0: A=1|1: A=2|2: A=3", "rows 3, header 2, units 2", 0)]
    [InlineData("channels-of-different-rates", "Fast, Slow", "0: Fast=1 Slow=50|0.01: Fast=2|0.02: Fast=3|0.03: Fast=4 Slow=51", "rows 4, header 1", 0)]
    [InlineData("past-midnight", "A", "86399.95: A=1|86400: A=2|86400.05: A=3", "rows 3, header 1", 0)]
    [InlineData("block-of-rows-sent-twice", "A", "0: A=1|1: A=2|2: A=3|3: A=4", "rows 4, repeated 3, header 1", 0)]
    public void Oddities(string file, string channels, string records, string classes, long problems)
    {
        byte[] bytes = File.ReadAllBytes(Path.Combine(Folder(), file + ".csv"));
        foreach (byte[] stored in new[] { bytes, LogBytesTests.Packed(bytes) })
        {
            ILogReader reader = CsvLog.Open(stored, 7);
            Assert.Equal(channels, CsvLog.Channels(reader));
            Assert.Equal(records.Replace('|', '\n'), CsvLog.Records(reader));
            ReadingReport report = CsvLog.Report(reader);
            Assert.Equal(classes, CsvLog.Classes(report));
            Assert.Equal(problems, report.ProblemCount);
        }
    }

    private static string Folder()
    {
        for (DirectoryInfo? up = new(AppContext.BaseDirectory); up is not null; up = up.Parent)
            if (Path.Combine(up.FullName, "tests", "Oddities") is var folder && Directory.Exists(folder)) return folder;
        throw new DirectoryNotFoundException("tests/Oddities is expected above " + AppContext.BaseDirectory);
    }
}
