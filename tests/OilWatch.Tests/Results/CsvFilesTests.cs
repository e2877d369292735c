using System.Buffers;
using System.Text;
using nietras.SeparatedValues;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class CsvFilesTests
{
    [Fact]
    public void A_lap_is_a_row_and_what_is_absent_is_an_empty_cell() => Assert.Equal(
        "lap,kind,start_s,end_s,duration_s,engine_revolutions,peak_rpm,peak_lateral_g," +
        "oil_pressure_min_kpa,oil_pressure_min_ratio,starvation_events,starvation_s,starvation_revolutions,low_pressure_s," +
        "oil_temperature_max_c,crankcase_pressure_mean_kpa,crankcase_pressure_max_kpa,vibration_max,band_dwell_s\r\n" +
        "4,timed,300,391.234568,91.234568,9876.54,7012.3,1.31,96.13,0.2344,1,0.84,93.34,0,112.35,-40.64,-12.5,3.25,12.5\r\n" +
        "5,in,391.234568,420,28.765432,,,,,,,,,,,,,,\r\n",
        Written.Text(ResultFiles.WriteLapsCsv, Sessions.Rich));

    [Fact]
    public void A_pass_through_a_corner_is_a_row() => Assert.Equal(
        "lap,corner,direction,entry_s,exit_s,sustained_s,peak_lateral_g,mean_lateral_g,mean_rpm," +
        "oil_temperature_c,oil_pressure_min_kpa,oil_pressure_min_ratio,time_to_drop_s,starved\r\n" +
        "4,C3L,left,310.78,314,3.1,1.31,1.1235,6543.2,104.5,96.13,0.2344,1.62,true\r\n" +
        ",,right,0,2,2,,,,,,,,false\r\n" +
        ",,right,3,5,2,,,,,,,,\r\n",
        Written.Text(ResultFiles.WriteCornersCsv, Sessions.Rich));

    [Fact]
    public void Without_laps_and_corners_the_headers_stand_alone()
    {
        Assert.Single(Written.Text(ResultFiles.WriteLapsCsv, Sessions.Bare).Split("\r\n", StringSplitOptions.RemoveEmptyEntries));
        Assert.Single(Written.Text(ResultFiles.WriteCornersCsv, Sessions.Bare).Split("\r\n", StringSplitOptions.RemoveEmptyEntries));
    }

    [Theory]
    // RFC 4180, check-values 15 (COMPUTED Python 3.11.2 csv): what is read there is what is written here.
    [InlineData("a", "a")]
    [InlineData("b \"q\"", "\"b \"\"q\"\"\"")]
    [InlineData("line1\r\nline2", "\"line1\r\nline2\"")]
    [InlineData("a,b", "\"a,b\"")]
    [InlineData(" a ", " a ")]
    [InlineData("", "")]
    // What a spreadsheet runs, check-values 15: ASVS 1.2.10 FOUND (= + - @ TAB NUL), OWASP list (CR), MEMORY (LF, full-width forms).
    [InlineData("=1+1", "'=1+1")]
    [InlineData("+1", "'+1")]
    [InlineData("-1", "'-1")]
    [InlineData("@x", "'@x")]
    [InlineData("\tx", "'\tx")]
    [InlineData("\0x", "'\0x")]
    [InlineData("\rx", "\"'\rx\"")]
    [InlineData("\nx", "\"'\nx\"")]
    [InlineData("\uFF1Dx", "'\uFF1Dx")]
    [InlineData("\uFF0Bx", "'\uFF0Bx")]
    [InlineData("\uFF0Dx", "'\uFF0Dx")]
    [InlineData("\uFF20x", "'\uFF20x")]
    [InlineData("=cmd,\"x\"", "\"'=cmd,\"\"x\"\"\"")]
    [InlineData("a=b", "a=b")]
    public void Text_is_quoted_by_the_standard_and_cannot_be_run_by_a_spreadsheet(string text, string cell) =>
        Assert.Equal(cell, CsvForm.Cell(ResultValue.Of(text)));

    [Fact]
    public void Negative_numbers_stay_numbers() => Assert.Equal("-12.5", CsvForm.Cell(ResultValue.Kpa(-12.5)));

    [Fact]
    public void Another_reader_of_CSV_reads_back_what_was_written()
    {
        string[] labels = ["C3L", "a,b", "\"q\"", "x\r\ny", "=1", "°", ""];
        CornerPass pass = Sessions.Rich.CornerPasses[1];
        var session = Sessions.Rich with { CornerPasses = [.. labels.Select(label => pass with { Corner = label })] };

        using SepReader reader = Sep.New(',').Reader(options => options with { Unescape = true })
            .FromText(Written.Text(ResultFiles.WriteCornersCsv, session));
        var read = new List<string>();
        foreach (SepReader.Row row in reader) read.Add(row["corner"].ToString());

        Assert.Equal(["C3L", "a,b", "\"q\"", "x\r\ny", "'=1", "°", ""], read);
    }

    [Fact]
    public void The_file_has_no_byte_order_mark()
    {
        var buffer = new ArrayBufferWriter<byte>();
        CsvForm.Write(LapColumns.All, [], buffer);
        Assert.True(buffer.WrittenSpan.StartsWith("lap,kind"u8), Encoding.UTF8.GetString(buffer.WrittenSpan));
    }
}
