using System.Globalization;
using System.Text;
using OilWatch.Reading;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class SlcanTests
{
    private const string Small = "BO_ 291 Engine: 8 X\n SG_ Oil : 0|8@1+ (4,0) [0|1000] \"kPa\" X\n";

    // check-values 4.4 (FOUND kernel slcan-core.c).
    [Theory]
    [InlineData("t1230", "Frame 123 0 ")]
    [InlineData("t4563112233", "Frame 456 3 112233")]
    [InlineData("T12ABCDEF2AA55", "Frame 12ABCDEF 2 AA55")]
    [InlineData("T12abcdef2aa55", "Frame 12ABCDEF 2 AA55")]
    [InlineData("r1230", "Remote 123 0 ")]
    [InlineData("r1238", "Remote 123 8 ")]
    [InlineData("R000001238", "Remote 00000123 8 ")]
    [InlineData("T1111222281122334455667788EA5F", "Frame 11112222 8 1122334455667788 at 59999")]
    [InlineData("t12300001", "Frame 123 0  at 1")]
    [InlineData("r12381234", "Remote 123 8  at 4660")]
    [InlineData("sa057033", "Notice 000 0 ")]
    [InlineData("sb256256", "Error 00000040 8 0000000000000000")]
    [InlineData("e1a", "Error 000000A0 8 0000000000000000")]
    [InlineData("e3bcO", "Error 0000008C 8 0002080800000000")]
    [InlineData("e1o", "Error 00000004 8 0001000000000000")]
    [InlineData("z", "Notice 000 0 ")]
    [InlineData("V1013", "Notice 000 0 ")]
    [InlineData("", "Comment 000 0 ")]
    public void A_line_is_read(string line, string expected)
    {
        Span<byte> data = stackalloc byte[8];

        SlcanLine parsed = SlcanParser.Parse(Encoding.ASCII.GetBytes(line), data);

        string hex = parsed.Kind is CanLineKind.Frame or CanLineKind.Error ? Convert.ToHexString(data[..parsed.Length]) : "";
        string stamp = parsed.HasStamp ? FormattableString.Invariant($" at {parsed.StampMs}") : "";
        Assert.Null(parsed.Fault);
        Assert.Equal(expected, string.Create(CultureInfo.InvariantCulture, $"{parsed.Kind} {parsed.Id} {parsed.Length} {hex}{stamp}"));
    }

    [Theory]
    [InlineData("x123", "1: expected t, T, r or R and a frame, such as t1232AABB: ▸x123")]
    [InlineData("t12", "4: the line ends too early: 3 (t, r) or 8 (T, R) hexadecimal digits of id and a length of 0 to 8 are expected: t12▸")]
    [InlineData("t12x0", "4: the line ends too early: 3 (t, r) or 8 (T, R) hexadecimal digits of id and a length of 0 to 8 are expected: t12▸x0")]
    [InlineData("t8000", "2: a standard id is 000 to 7FF; an extended one has 8 digits: t▸8000")]
    [InlineData("T200000000", "2: an extended id is 00000000 to 1FFFFFFF (20000000 and more: an error frame): T▸200000000")]
    [InlineData("t1239", "5: expected a length of 0 to 8 here: t123▸9")]
    [InlineData("t1232AAB", "9: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t1232AAB▸")]
    [InlineData("t1232AAxx", "8: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t1232AA▸xx")]
    [InlineData("t1231AA00", "10: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t1231AA00▸")]
    [InlineData("t1231AA000000", "12: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t1231AA0000▸00")]
    [InlineData("t1231AAEA60", "8: a time stamp counts milliseconds from 0000 to EA5F: t1231AA▸EA60")]
    [InlineData("e2a", "2: expected as many error letters as the digit says: e▸2a")]
    [InlineData("e1q", "3: expected an error letter: a b B c f o O s: e1▸q")]
    [InlineData("sx000000", "1: expected t, T, r or R and a frame, such as t1232AABB: ▸sx000000")]
    public void A_damaged_line_is_told_where_it_goes_wrong(string text, string expected)
    {
        Span<byte> data = stackalloc byte[8];
        byte[] line = Encoding.ASCII.GetBytes(text);

        SlcanLine parsed = SlcanParser.Parse(line, data);

        Assert.Equal(CanLineKind.Damaged, parsed.Kind);
        Assert.Equal($"run.txt:7:{expected}", CanRun.Problem("run.txt", 7, line, parsed.FaultAt, parsed.Fault!).ToString());
    }

    [Theory]
    [InlineData("\r")]
    [InlineData("\n")]
    [InlineData("\r\n")]
    public void A_log_is_read_whatever_ends_its_lines(string end)
    {
        string log = string.Join(end, "z", "t12314B0000", "r12300001", "e1o", "t12314C000A", "t1231", "t12314C", "");

        ILogReader reader = OpenSlcan(log, Small);
        Heard heard = Read(reader);

        Assert.Equal("SLCAN log", reader.FormatName);
        Assert.Equal("7 lines: 2 frames, 1 remote frames, 1 error frames, 1 notices, 2 damaged; back 0", heard.Summary);
        Same(["0 Oil 300", "0 end", "1000000 lost", "10000000 Oil 304", "10000000 end"], heard.Lines);
        Same(
            [
                "run.txt:6:6: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t1231▸",
                "run.txt:7:8: expected a time stamp of four hexadecimal digits at the end, as other lines have: t12314C▸",
                "run.txt:4: 1 error frame from the bus (controller 1); check wiring, termination and connectors",
            ],
            heard.Report.Problems.Select(problem => problem.ToString()));
    }

    [Fact]
    public void The_stamp_goes_on_when_a_new_minute_begins()
    {
        var clock = new SlcanClock();

        long[] ms = [.. new[] { 59_990, 59_999, 5, 4, 10, 30_010, 10, 59_995, 20 }.Select(stamp => clock.Advance(stamp) / 1_000_000)];

        // 4 after 5 is a step back; 59995 after 10 is one over the start of the minute; 20 after it is 25 ms on.
        Assert.Equal([0, 9, 15, 14, 20, 30_020, 60_020, 60_005, 60_030], ms);
    }

    [Theory]
    [InlineData("t12314B\rt12314C\r",
        "run.txt: the frames have no time stamps, so nothing can be said about when; turn the adapter's time stamps on (command Z1), or record with candump -L")]
    [InlineData("z\r", "run.txt: no CAN frame in it")]
    [InlineData("t9\r",
        "run.txt: no CAN frame could be read; first problem: run.txt:1:3: the line ends too early: 3 (t, r) or 8 (T, R) hexadecimal digits of id and a length of 0 to 8 are expected: t9▸")]
    [InlineData("t45610000000\r", "run.txt: no CAN frame could be read; first problem: run.txt:1:12: expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them: t4561000000▸0")]
    [InlineData("t4561000000\r", "run.txt: no message of engine.dbc occurs in this log; is it the database of this car? Ids in the log: 456 (1 frame)")]
    public void A_log_that_cannot_be_used_is_refused_with_the_reason(string log, string expected) => Assert.Equal(expected, Refusal(() => OpenSlcan(log, Small)));

    [Theory]
    [InlineData("t12314B0000\rt12314C", true)]
    [InlineData("z\rjunk\rt12314B0000\rt12314C0001\r", true)]
    [InlineData("t1230", true)]
    [InlineData("", false)]
    [InlineData("time,rpm\n0,1\n", false)]
    [InlineData("t,r\n0,1\nt1230\n", false)]
    [InlineData("(1.0) can0 123#00\n", false)]
    [InlineData("z\rz\r", false)]
    public void An_slcan_log_is_recognised_and_a_table_is_not(string text, bool expected) =>
        Assert.Equal(expected, SlcanFormat.Recognise(Encoding.ASCII.GetBytes(text)));
}
