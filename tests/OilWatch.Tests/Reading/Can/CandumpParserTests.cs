using System.Globalization;
using System.Text;
using OilWatch.Reading.Can;

namespace OilWatch.Tests.Reading.Can;

public class CandumpParserTests
{
    // check-values 4.2 (FOUND can-utils candump.c, lib.c; COMPUTED with lib.c and python-can), and the screen form of candump.c.
    [Theory]
    [InlineData("(1436509052.249713) can0 123#DEADBEEF", "1436509052249713000 can0 123 Frame 4 DEADBEEF")]
    [InlineData("(1436509052.250000) can0 18FEEF00#FFFFFF4B0078FFFF", "1436509052250000000 can0 18FEEF00 Frame 8 FFFFFF4B0078FFFF")]
    [InlineData("(1.5) can0 00000123#11", "1500000000 can0 00000123 Frame 1 11")]
    [InlineData("(1.5) can0 123#R", "1500000000 can0 123 Remote 0 ")]
    [InlineData("(1.5) can0 123#R7", "1500000000 can0 123 Remote 7 ")]
    [InlineData("(1.5) can0 123#R8_E", "1500000000 can0 123 Remote 8 ")]
    [InlineData("(1.5) can0 123#1122334455667788_E", "1500000000 can0 123 Frame 8 1122334455667788")]
    [InlineData("(1.5) can0 20000004#0004000000000000", "1500000000 can0 00000004 Error 8 0004000000000000")]
    [InlineData("(1.5) can0 123##3112233", "1500000000 can0 123 Frame 3 112233")]
    [InlineData("(1.5) can0 123##7112233", "1500000000 can0 123 Frame 3 112233")]
    [InlineData("(1.5) can0 123#DEAD R", "1500000000 can0 123 Frame 2 DEAD")]
    [InlineData("(1.5) can0 123#DEAD T", "1500000000 can0 123 Frame 2 DEAD")]
    [InlineData("(1.5) can0 123#", "1500000000 can0 123 Frame 0 ")]
    [InlineData("(1.5) can0 7ff#de.ad.BE.ef", "1500000000 can0 7FF Frame 4 DEADBEEF")]
    [InlineData("  (1.5)\tvcan12  123#00  \r", "1500000000 vcan12 123 Frame 1 00")]
    [InlineData("(0000000000.000001) can0 123#00", "1000 can0 123 Frame 1 00")]
    [InlineData("(9000000000.999999999) can0 123#00", "9000000000999999999 can0 123 Frame 1 00")]
    [InlineData("(1.12345678) can0 123#00", "1123456780 can0 123 Frame 1 00")]
    [InlineData("(2015-07-10 06:17:32.249713) can0 123#00", "1436509052249713000 can0 123 Frame 1 00")]
    [InlineData(" (1.500000)  can0  123   [4]  DE AD BE EF", "1500000000 can0 123 Frame 4 DEADBEEF")]
    [InlineData("  can0  123   [4]  DE AD BE EF", "none can0 123 Frame 4 DEADBEEF")]
    [InlineData(" (1.5)  can0  18FEEF00   [2]  DE AD   '..'", "1500000000 can0 18FEEF00 Frame 2 DEAD")]
    [InlineData(" (1.5)  can0  123  [03]  DE AD BE", "1500000000 can0 123 Frame 3 DEADBE")]
    [InlineData(" (1.5)  can0  TX B E  123  [01]  DE", "1500000000 can0 123 Frame 1 DE")]
    [InlineData(" (1.5)  can0  RX - -  123   [0] ", "1500000000 can0 123 Frame 0 ")]
    [InlineData(" (1.5)  can0  123   [7]  remote request", "1500000000 can0 123 Remote 7 ")]
    [InlineData(" (1.5)  can0  123   {E}  11 22 33 44 55 66 77 88", "1500000000 can0 123 Frame 8 1122334455667788")]
    [InlineData(" (1.5)  can0  20000004   [8]  00 04 00 00 00 00 00 00   ERRORFRAME", "1500000000 can0 00000004 Error 8 0004000000000000")]
    public void A_line_is_read(string line, string expected)
    {
        Span<byte> data = stackalloc byte[64];
        byte[] text = Encoding.UTF8.GetBytes(line);

        CanLine parsed = CandumpParser.Parse(text, data);

        string stamp = parsed.HasStamp ? parsed.StampNs.ToString(CultureInfo.InvariantCulture) : "none";
        string hex = parsed.Kind == CanLineKind.Remote ? "" : Convert.ToHexString(data[..parsed.Length]);
        string name = Encoding.UTF8.GetString(text, parsed.InterfaceAt, parsed.InterfaceLength);
        Assert.Null(parsed.Fault);
        Assert.Equal(expected, string.Create(CultureInfo.InvariantCulture, $"{stamp} {name} {parsed.Id} {parsed.Kind} {parsed.Length} {hex}"));
    }

    [Fact]
    public void An_fd_frame_has_up_to_64_bytes()
    {
        Span<byte> data = stackalloc byte[64];

        CanLine log = CandumpParser.Parse(Encoding.ASCII.GetBytes($"(1.5) can0 123##1{string.Concat(Enumerable.Repeat("5A", 64))}"), data);
        CanLine screen = CandumpParser.Parse(Encoding.ASCII.GetBytes($" (1.5)  can0  123  [64] {string.Concat(Enumerable.Repeat(" 5A", 64))}"), data);

        Assert.Equal((CanLineKind.Frame, 64), (log.Kind, log.Length));
        Assert.Equal((CanLineKind.Frame, 64), (screen.Kind, screen.Length));
        Assert.True(data.IndexOfAnyExcept((byte)0x5A) < 0);
    }

    // The flags of linux/can.h (check-values 4.3, FOUND).
    [Theory]
    [InlineData("123#00", 0x0000_0123)]
    [InlineData("00000123#00", 0x8000_0123)]
    [InlineData("123#R", 0x4000_0123)]
    [InlineData("00000123#R", 0xC000_0123)]
    [InlineData("20000088#0000040800000000", 0x2000_0088)]
    public void An_id_carries_its_flags(string frame, uint expected)
    {
        Span<byte> data = stackalloc byte[64];

        Assert.Equal(expected, CandumpParser.Parse(Encoding.ASCII.GetBytes($"(1.5) can0 {frame}"), data).Id.Value);
    }

    [Theory]
    [InlineData("", "Comment")]
    [InlineData("  \t ", "Comment")]
    [InlineData("# recorded at the test track", "Comment")]
    [InlineData("; note", "Comment")]
    [InlineData("// note", "Comment")]
    [InlineData("\tcontroller-problem{rx-error-warning}", "Comment")]
    [InlineData("DROPCOUNT: dropped 12 CAN frames on 'can0' socket (total drops 12)", "Notice")]
    public void A_line_without_a_frame_has_its_kind(string line, string expected)
    {
        Span<byte> data = stackalloc byte[64];

        Assert.Equal(expected, CandumpParser.Parse(Encoding.UTF8.GetBytes(line), data).Kind.ToString());
    }

    [Theory]
    [InlineData("(x) can0 123#00", "2: expected the seconds of the time stamp after '(': (▸x) can0 123#00")]
    [InlineData("(9000000001.0) can0 123#00", "2: a time stamp has at most 9000000000 seconds: (▸9000000001.0) can0 123#0…")]
    [InlineData("(12345678901.0) can0 123#00", "2: a time stamp has at most 9000000000 seconds: (▸12345678901.0) can0 123#…")]
    [InlineData("(1) can0 123#00", "3: expected '.' and 1 to 9 decimals in the time stamp: (1▸) can0 123#00")]
    [InlineData("(1.) can0 123#00", "4: expected '.' and 1 to 9 decimals in the time stamp: (1.▸) can0 123#00")]
    [InlineData("(1.1234567890) can0 123#00", "4: expected '.' and 1 to 9 decimals in the time stamp: (1.▸1234567890) can0 123#00")]
    [InlineData("(1.5 can0 123#00", "5: expected ')' and a blank after the time stamp: (1.5▸ can0 123#00")]
    [InlineData("(1.5),can0 123#00", "6: expected ')' and a blank after the time stamp: (1.5)▸,can0 123#00")]
    [InlineData("(2015-02-30 08:44:12.5) can0 123#00", "2: expected a date and time such as 2015-07-10 08:44:12.249713: (▸2015-02-30 08:44:12.5) c…")]
    [InlineData("(2015-07-10 24:44:12.5) can0 123#00", "13: expected a date and time such as 2015-07-10 08:44:12.249713: (2015-07-10 ▸24:44:12.5) can0 123#00")]
    [InlineData("(1.5)", "6: expected the interface, such as can0, and a frame, such as 123#DEADBEEF: (1.5)▸")]
    [InlineData("(1.5) can0 12#00", "12: an id has 3 (standard) or 8 (extended) hexadecimal digits: (1.5) can0 ▸12#00")]
    [InlineData("(1.5) can0 12345#00", "12: an id has 3 (standard) or 8 (extended) hexadecimal digits: (1.5) can0 ▸12345#00")]
    [InlineData("(1.5) can0 800#00", "12: a standard id is 000 to 7FF; an extended one has 8 digits: (1.5) can0 ▸800#00")]
    [InlineData("(1.5) can0 80000123#00",
        "12: an extended id is 00000000 to 1FFFFFFF (20000000 and more: an error frame): (1.5) can0 ▸80000123#00")]
    [InlineData("(1.5) can0 123x#00", "15: expected '#' after the id: (1.5) can0 123▸x#00")]
    [InlineData("(1.5) can0 123#0", "16: a data byte has two hexadecimal digits: (1.5) can0 123#▸0")]
    [InlineData("(1.5) can0 123#112", "18: a data byte has two hexadecimal digits: (1.5) can0 123#11▸2")]
    [InlineData("(1.5) can0 123#112233445566778899",
        "32: a classic frame has at most 8 data bytes; an FD frame is written with ##: (1.5) can0 123#1122334455667788▸99")]
    [InlineData("(1.5) can0 123##", "17: expected one hexadecimal digit of FD flags after '##': (1.5) can0 123##▸")]
    [InlineData("(1.5) can0 123#R9", "17: a remote frame asks for 0 to 8 bytes: (1.5) can0 123#R▸9")]
    [InlineData("(1.5) can0 20000004#R", "21: an error frame is never a remote frame; expected data bytes: (1.5) can0 20000004#▸R")]
    [InlineData("(1.5) can0 123#11_E", "18: a raw length code, _9 to _F, follows eight bytes only: (1.5) can0 123#11▸_E")]
    [InlineData("(1.5) can0 123#1122334455667788_8",
        "32: a raw length code, _9 to _F, follows eight bytes only: (1.5) can0 123#1122334455667788▸_8")]
    [InlineData("(1.5) can0 123#11 X", "19: expected the end of the line here: (1.5) can0 123#11 ▸X")]
    [InlineData("(1.5) can0 123#11zz", "18: expected the end of the line here: (1.5) can0 123#11▸zz")]
    [InlineData("(1.5)  can0  123  8  11", "19: expected '#' and data after the id, or the length as in [8]: (1.5)  can0  123  ▸8  11")]
    [InlineData("(1.5)  can0  123  [65]  11", "19: expected '#' and data after the id, or the length as in [8]: (1.5)  can0  123  ▸[65]  11")]
    [InlineData("(1.5)  can0  123  [2]  11", "26: expected as many data bytes of two hexadecimal digits as the length says: (1.5)  can0  123  [2]  11▸")]
    [InlineData("(1.5) can0 \u00FF\u0001", "12: an id has 3 (standard) or 8 (extended) hexadecimal digits: (1.5) can0 ▸···")]
    public void A_damaged_line_is_told_where_it_goes_wrong(string text, string expected)
    {
        Span<byte> data = stackalloc byte[64];
        byte[] line = Encoding.UTF8.GetBytes(text);

        CanLine parsed = CandumpParser.Parse(line, data);

        Assert.Equal(CanLineKind.Damaged, parsed.Kind);
        Assert.Equal($"run.log:7:{expected}", CanRun.Problem("run.log", 7, line, parsed.FaultAt, parsed.Fault!).ToString());
    }

    [Fact]
    public void A_long_damaged_line_is_shown_around_the_spot()
    {
        Span<byte> data = stackalloc byte[64];
        byte[] line = Encoding.ASCII.GetBytes($"(1.5) can0 123##1{string.Concat(Enumerable.Repeat("11", 65))}");

        CanLine parsed = CandumpParser.Parse(line, data);

        Assert.Equal(
            "run.log:7:146: an FD frame has at most 64 data bytes: …1111111111111111111111111111111111111111▸11",
            CanRun.Problem("run.log", 7, line, parsed.FaultAt, parsed.Fault!).ToString());
    }
}
