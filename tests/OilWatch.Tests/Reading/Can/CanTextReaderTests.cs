using System.Text;
using OilWatch.Reading;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class CanTextReaderTests
{
    private const string Small = "BO_ 291 Engine: 8 X\n SG_ Oil : 0|8@1+ (4,0) [0|1000] \"kPa\" X\n SG_ Temp : 8|8@1+ (1,-40) [0|0] \"degC\" X\n";

    [Fact]
    public void Every_line_falls_into_one_class_and_the_counts_add_up()
    {
        const string Log =
            "# recorded at the test track\r\n" +
            "(1436509052.249713) can0 123#4B6E\r\n" +
            "(1436509052.259713) can0 123#R\r\n" +
            "(1436509052.269713) can0 20000040#0000000000000000\r\n" +
            "DROPCOUNT: dropped 3 CAN frames on 'can0' socket (total drops 3)\r\n" +
            "(1436509052.279713) can0 12#4B6E\r\n" +
            "\r\n" +
            "(1436509052.289713) can0 456#00\r\n" +
            "(1436509052.299713) can0 123#4C6F";

        Heard heard = Read(Log, Small);

        Assert.Equal("9 lines: 3 frames, 1 remote frames, 1 error frames, 1 notices, 2 comments, 1 damaged; back 0", heard.Summary);
        Assert.Equal(heard.Report.Lines, heard.Report.Classes.Sum(one => one.Count));
        Assert.Equal(Encoding.UTF8.GetByteCount(Log), heard.Report.Bytes);
        Same(
            ["0 Oil 300", "0 Temp 70", "0 end", "20000000 lost", "50000000 Oil 304", "50000000 Temp 71", "50000000 end"],
            heard.Lines);
        Same(
            [
                "run.log:6:26: an id has 3 (standard) or 8 (extended) hexadecimal digits: (1436509052.279713) can0 ▸12#4B6E",
                "run.log:4: 1 error frame from the bus (bus off 1); check wiring, termination and connectors",
            ],
            heard.Report.Problems.Select(problem => problem.ToString()));
        Assert.Equal(2, heard.Report.ProblemCount);
        Assert.Equal((new LogTime(0), new LogTime(50_000_000)), (heard.Report.First, heard.Report.Last));
    }

    [Theory]
    [InlineData("(1.1)", "(1.2)", 100_000_000)]
    [InlineData("(1.000001)", "(1.000002)", 1_000)]
    [InlineData("(1.000000001)", "(1.000000002)", 1)]
    [InlineData("(1436509052.249713)", "(1436509052.249713001)", 1)]
    [InlineData("(1436509052.249713123)", "(1436509053.249713124)", 1_000_000_001)]
    [InlineData("(1.12345678)", "(1.123456780)", 0)]
    [InlineData("(0.000000)", "(9000000000.0)", 9_000_000_000_000_000_000)]
    [InlineData("(2016-12-31 23:59:59.5)", "(2017-01-01 00:00:00.25)", 750_000_000)]
    [InlineData("(2.0)", "(1.9)", -100_000_000)]
    public void Time_is_whole_nanoseconds_since_the_first_frame(string first, string second, long expected)
    {
        Heard heard = Read($"{first} can0 123#0000\n{second} can0 123#0000\n", Small);

        Assert.Equal(FormattableString.Invariant($"{expected} end"), heard.Lines[^1]);
    }

    [Fact]
    public void A_step_back_of_more_than_a_quarter_second_is_counted_and_passed_on()
    {
        Heard heard = Read("(10.0) can0 123#00\n(9.75) can0 123#00\n(9.4) can0 123#00\n(9.5) can0 123#00\n(11.0) can0 123#00\n", Small);

        Assert.Equal(1, heard.Report.TimeWentBack);
        Same(
            ["0", "-250000000", "-600000000", "-500000000", "1000000000"],
            heard.Lines.Where(line => line.EndsWith("end", StringComparison.Ordinal)).Select(line => line.Split(' ')[0]));
        Assert.Equal(new LogTime(1_000_000_000), heard.Report.Last);
    }

    // linux/can/error.h (check-values 4.3, FOUND): class CRTL is 4; data[1] bit 0 is RX_OVERFLOW. 000C: receive and transmit warning.
    [Theory]
    [InlineData("20000004#0001000000000000", true)]
    [InlineData("20000004#000C000000000000", false)]
    [InlineData("20000004#0002000000000000", false)]
    [InlineData("20000040#0001000000000000", false)]
    [InlineData("20000004#00", false)]
    public void An_overflow_of_the_receiver_is_lost_data(string frame, bool lost)
    {
        Heard heard = Read($"(1.0) can0 123#0000\n(1.5) can0 {frame}\n", Small);

        Assert.Equal(lost, heard.Lines.Contains("500000000 lost", StringComparer.Ordinal));
        Assert.Equal(("error frames", 1L), heard.Report.Classes[2]);
    }

    // check-values 4.3 (COMPUTED text): 20000088 00000408 is a protocol violation (stuff, in CRC) and a bus error.
    [Fact]
    public void Faults_of_the_bus_are_counted_by_class()
    {
        Heard heard = Read(
            "(1.0) can0 123#0000\n(1.1) can0 20000088#0000040800000000\n(1.2) can0 20000004#000C000000000000\n(1.3) can0 20000088#0000040800000000\n", Small);

        Assert.Equal(
            "run.log:2: 3 error frames from the bus (controller 1, protocol violation 2, bus error 2); check wiring, termination and connectors",
            Assert.Single(heard.Report.Problems).ToString());
    }

    [Fact]
    public void A_frame_shorter_than_the_database_says_gives_what_fits_and_is_counted()
    {
        Heard heard = Read("(1.0) can0 123#4B6E\n(1.1) can0 123#4B\n(1.2) can0 123#\n", Small);

        Same(["0 Oil 300", "0 Temp 70", "0 end", "100000000 Oil 300", "100000000 end"], heard.Lines);
        Assert.Equal(
            "run.log:2: message 'Engine' has 1 bytes here but signal 'Temp' needs 2; what does not fit is absent (2 such frames)",
            Assert.Single(heard.Report.Problems).ToString());
    }

    [Fact]
    public void Extended_multiplexing_follows_the_whole_chain_of_switches()
    {
        const string Nested = """
            BO_ 291 Mux: 8 X
             SG_ S0 M : 0|4@1+ (1,0) [0|0] "" X
             SG_ S1 m0M : 4|4@1+ (1,0) [0|0] "" X
             SG_ A m1 : 8|8@1+ (1,0) [0|0] "" X
             SG_ B m2 : 8|8@1+ (1,0) [0|0] "" X
             SG_ C m3 : 8|8@1+ (1,0) [0|0] "" X
            SG_MUL_VAL_ 291 S1 S0 0-0, 5-7;
            SG_MUL_VAL_ 291 A S1 1-1;
            SG_MUL_VAL_ 291 B S1 2-4,
              9-9;
            SG_MUL_VAL_ 291 C S0 3-3;
            """;

        string Said(string data) => string.Join(' ', Read($"(1.0) can0 123#{data}\n", Nested).Lines.Where(line => !line.EndsWith("end", StringComparison.Ordinal)).Select(line => line[2..]));

        Assert.Equal("S0 0 S1 1 A 17", Said("1011"));
        Assert.Equal("S0 6 S1 9 B 17", Said("9611"));
        Assert.Equal("S0 3 C 17", Said("1311"));
        Assert.Equal("S0 4", Said("1411"));
        Assert.Equal("S0 0 S1 5", Said("5011"));
    }

    [Fact]
    public void Overlapping_signals_are_both_decoded()
    {
        Heard heard = Read("(1.0) can0 123#3412\n", "BO_ 291 M: 8 X\n SG_ A : 0|16@1+ (1,0) [0|0] \"\" X\n SG_ B : 0|8@1+ (1,0) [0|0] \"\" X\n");

        Same(["0 A 4660", "0 B 52", "0 end"], heard.Lines);
    }

    [Fact]
    public void An_fd_frame_is_decoded_beyond_its_eighth_byte()
    {
        const string Wide =
            "BO_ 291 M: 64 X\n SG_ Little : 60|12@1+ (1,0) [0|0] \"\" X\n SG_ Big : 503|16@0+ (1,0) [0|0] \"\" X\n SG_ Odd : 68|64@1+ (1,0) [0|0] \"\" X\n";
        byte[] data = new byte[64];
        (data[7], data[8]) = (0xA0, 0x5B);
        (data[62], data[63]) = (0x12, 0x34);
        data[16] = 0x01;

        Heard heard = Read($"(1.0) can0 123##1{Convert.ToHexString(data)}\n", Wide);

        Same(["0 Little 1466", "0 Big 4660", "0 Odd 1152921504606846981", "0 end"], heard.Lines.Select(line => line.Replace("1.152921504606847E+18", "1152921504606846981", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_value_that_is_no_finite_number_is_absent()
    {
        Heard heard = Read("(1.0) can0 102#0000807F0000C07F\n", CheckDatabase);

        Assert.Equal([double.NaN], heard.Values["F"]);
    }

    [Fact]
    public async Task Only_selected_channels_are_given()
    {
        ILogReader reader = Open("(1.0) can0 123#4B6E\n", Small);
        var heard = new Heard(reader.Channels);

        await reader.ReadAsync([1, 1, 99, -1], heard);

        Same(["0 Temp 70", "0 end"], heard.Lines);
    }

    [Fact]
    public void A_log_may_be_read_again()
    {
        ILogReader reader = Open("(1.0) can0 123#4B6E\n(1.5) can0 123#4B6E\n", Small);

        Same(Read(reader).Lines, Read(reader).Lines);
    }

    [Fact]
    public void The_screen_form_is_read_like_the_log_form()
    {
        ILogReader reader = Open(" (1436509052.249713)  can0  123   [2]  4B 6E\n (1436509052.259713)  can0  123   [2]  4C 6E\n", Small);

        Assert.Equal("0 Oil 300|0 Temp 70|0 end|10000000 Oil 304|10000000 Temp 70|10000000 end", string.Join('|', Read(reader).Lines));
        Assert.Equal("Read as the screen form of a CAN text log; time stamps are seconds since 1970 with 6 decimals, and time counts from the first frame.", reader.Assumptions[0]);
    }

    [Theory]
    [InlineData("(12.5)", "the log form of a CAN text log; time stamps are seconds since some start with 1 decimals")]
    [InlineData("(2015-07-10 08:44:12.249)", "the log form of a CAN text log; time stamps are dates and times of day with 3 decimals")]
    public void How_time_was_taken_is_said(string stamp, string expected) =>
        Assert.Equal($"Read as {expected}, and time counts from the first frame.", Open($"{stamp} can0 123#4B6E\n", Small).Assumptions[0]);

    [Fact]
    public void A_message_on_several_interfaces_is_taken_from_the_one_with_most_known_frames()
    {
        const string Log = "(1.0) can1 123#016E\n(1.1) can0 123#4B6E\n(1.2) can0 123#4C6E\n(1.3) can1 7E8#03410D64\n";
        ILogReader reader = Open(Log, Small);

        Assert.Equal([300.0, 304.0], Read(reader).Values["Oil"]);
        Assert.Equal("Engine on can0", reader.Channels[0].Group);
        Assert.Equal("'Engine' comes on several interfaces; can0 is used, which carries the most frames of known messages.", reader.Assumptions[^1]);
    }

    [Fact]
    public void Interfaces_that_do_not_collide_are_not_mentioned()
    {
        ILogReader reader = Open("(1.0) can1 456#016E\n(1.1) can0 123#4B6E\n", Small);

        Assert.Equal("Engine", reader.Channels[0].Group);
        Assert.Single(reader.Assumptions);
    }

    [Fact]
    public void Of_several_databases_the_first_wins_where_ids_clash()
    {
        ILogReader reader = Open("(1.0) can0 123#4B6E\n(1.1) can0 124#07\n", Small,
            "BO_ 291 Other: 8 X\n SG_ Wrong : 0|8@1+ (1,0) [0|0] \"\" X\nBO_ 292 More: 8 X\n SG_ Right : 0|8@1+ (1,0) [0|0] \"\" X\n");

        Same(["Oil", "Temp", "Right"], reader.Channels.Select(channel => channel.Name));
        Assert.Equal("engine2.dbc: 'Other' (123) is defined by an earlier database, which is the one used.", reader.Assumptions[^1]);
    }

    [Fact]
    public void A_group_of_a_j1939_database_is_matched_whatever_its_sender()
    {
        const string Groups =
            "BO_ 2566844414 Oil: 8 X\n SG_ OilP : 24|8@1+ (4,0) [0|1000] \"kPa\" X\n SG_ Counter : 0|8@1+ (1,0) [0|255] \"\" X\nBA_ \"VFrameFormat\" BO_ 2566844414 3;\n";

        Heard heard = Read("(1.0) can0 18FEEF27#FFFFFF4BFFFFFFFF\n(1.1) can0 18FEEF27#01FFFFFFFFFFFFFF\n", Groups);

        Same(
            ["0 OilP 300", "0 Counter 255", "0 end", "100000000 OilP NaN", "100000000 Counter 1", "100000000 end"],
            heard.Lines);
    }

    [Fact]
    public void Senders_that_a_j1939_database_tells_apart_stay_apart()
    {
        const string Two =
            "BO_ 2566844160 First: 8 X\n SG_ A : 24|8@1+ (4,0) [0|0] \"kPa\" X\nBO_ 2566844163 Second: 8 X\n SG_ B : 24|8@1+ (4,0) [0|0] \"kPa\" X\n" +
            "BA_DEF_ \"ProtocolType\" STRING ;\nBA_ \"ProtocolType\" \"J1939\";\n";

        Heard heard = Read("(1.0) can0 18FEEF00#0000004B\n(1.1) can0 18FEEF03#0000004C\n(1.2) can0 1CFEEF03#0000004D\n", Two);

        Same(["0 A 300", "0 end", "100000000 B 304", "100000000 end", "200000000 B 308", "200000000 end"], heard.Lines);
    }

    [Fact]
    public void A_database_that_does_not_say_j1939_falls_back_to_groups_only_where_no_whole_id_occurs()
    {
        const string Plain =
            "BO_ 2566852608 First: 8 X\n SG_ A : 24|8@1+ (4,0) [0|0] \"kPa\" X\nBO_ 2566843904 Second: 8 X\n SG_ B : 0|8@1+ (1,-40) [0|0] \"degC\" X\n";
        ILogReader other = Open("(1.0) can0 18FF1027#0000004B\n", Plain);
        ILogReader whole = Open("(1.0) can0 18FF1027#0000004B\n(1.1) can0 18FEEE00#82\n", Plain);

        Assert.Equal([300.0], Read(other).Values["A"]);
        Assert.Equal(
            "engine.dbc: none of its 29-bit ids occurs in the log as a whole; 'First' is taken from frames with the same SAE J1939 parameter group, whatever their source address.",
            other.Assumptions[1]);
        Same(["B"], whole.Channels.Select(channel => channel.Name));
    }

    [Fact]
    public void Messages_that_do_not_occur_in_a_short_log_are_not_offered_and_that_is_said()
    {
        ILogReader reader = Open("(1.0) can0 102#0000807F0000C07F\n", CheckDatabase);

        Same(["F", "Fb"], reader.Channels.Select(channel => channel.Name));
        Assert.Equal("engine.dbc: 4 of 5 messages do not occur in the log: 'LE', 'BE', 'DB', 'MX'.", reader.Assumptions[^1]);
    }

    [Fact]
    public void Messages_that_come_late_in_a_long_log_are_offered_last_and_marked()
    {
        string log = $"{string.Concat(Enumerable.Repeat("(1436509052.249713) can0 456#0000000000000000\n", 100_000))}(1436509052.249713) can0 123#4B6E\n" +
            "(1436509052.249713) can0 124#07\n";
        log = $"(1436509052.249713) can0 124#05\n{log}";
        ILogReader reader = Open(log, $"{Small}BO_ 292 More: 8 X\n SG_ Early : 0|8@1+ (1,0) [0|0] \"\" X\n");

        Same(["0 Early More", "1 Oil Engine (not at the start of the log)", "2 Temp Engine (not at the start of the log)"],
            reader.Channels.Select(channel => FormattableString.Invariant($"{channel.Index} {channel.Name} {channel.Group}")));
        Assert.Equal([300.0], Read(reader).Values["Oil"]);
        Assert.Equal("engine.dbc: 1 of 2 messages do not occur at the start of the log: 'Engine'.", reader.Assumptions[^1]);
    }

    [Fact]
    public void A_log_whose_known_frames_come_late_is_looked_through_before_it_is_refused()
    {
        string log = $"{string.Concat(Enumerable.Repeat("(1436509052.249713) can0 456#0000000000000000\n", 100_000))}(1436509052.249713) can0 7E8#03410D64\n";

        Assert.Equal([100.0], Read(log).Values["Vehicle speed (SAE J1979 PID 0D)"]);
    }

    [Fact]
    public void A_log_without_database_and_without_known_frames_is_refused_with_its_ids()
    {
        string log = string.Concat(Enumerable.Range(0, 15).Select(i => FormattableString.Invariant($"(1.{i:D2}) can0 1{i:X2}#00\n"))) + "(2.0) can0 100#00\n(2.1) can0 12345678#00\n";

        Assert.Equal(
            "run.log: a CAN database (DBC) is needed to read this log: give it with --can-db FILE, or as database = \"FILE\" under [can] in the car file; " +
            "the log holds neither SAE J1939-71 nor SAE J1979 data that are known without one. Ids in the log: " +
            "100 (2 frames), 101 (1 frame), 102 (1 frame), 103 (1 frame), 104 (1 frame), 105 (1 frame), 106 (1 frame), 107 (1 frame), 108 (1 frame), " +
            "109 (1 frame), 10A (1 frame), 10B (1 frame) and 4 more",
            Refusal(() => Open(log)));
    }

    [Fact]
    public void A_log_that_the_database_does_not_fit_is_refused() =>
        Assert.Equal(
            "run.log: no message of engine.dbc occurs in this log; is it the database of this car? Ids in the log: 456 (1 frame)",
            Refusal(() => Open("(1.0) can0 456#00\n", Small)));

    [Theory]
    [InlineData("# nothing\n", "run.log: no CAN frame in it")]
    [InlineData("(1.0) can0 12#00\n(1.0) can0 1#00\n",
        "run.log: no CAN frame could be read; first problem: run.log:1:12: an id has 3 (standard) or 8 (extended) hexadecimal digits: (1.0) can0 ▸12#00")]
    [InlineData("  can0  123   [2]  4B 6E\n",
        "run.log: the frames have no time stamps, so nothing can be said about when; record with candump -L (log form) or candump -t a (screen form)")]
    [InlineData("(1.0) can0 123#R\n", "run.log: no data frame in it, only remote or error frames")]
    public void A_log_without_frames_or_without_time_is_refused(string log, string expected) => Assert.Equal(expected, Refusal(() => Open(log, Small)));

    [Theory]
    [InlineData("0.000000 0.010012 0.009988 0.010003 0.010001 0.009999 0.010010 0.009990 0.010001 0.010000")]
    [InlineData("0.000000 0.000240 0.000240 0.000240 0.007200 0.000240 0.000240 0.000240 0.007200 0.000240 0.000240 0.000240 0.007200")]
    [InlineData("0.000000 0.010000 0.010000 0.010000 0.010000 0.010000 0.010000 0.010000 0.010000 0.010000")]
    public void Delta_stamps_are_refused_with_the_reason(string stamps)
    {
        string log = string.Concat(stamps.Split(' ').Select(stamp => $"({stamp}) can0 123#4B6E\n"));

        Assert.Equal(
            "run.log: the time stamps are differences from frame to frame (delta), which cannot be added up where frames were left out or lost; " +
            "record absolute stamps, with candump -L or candump -t a",
            Refusal(() => Open(log, Small)));
    }

    [Theory]
    [InlineData("0.0 0.1 0.2 0.15 0.3 0.3 0.3 0.4 0.5 0.45 0.6 0.7")]                  // two interfaces out of step
    [InlineData("5000.1 5000.1 5000.1 5000.2 5000.2 5000.1 5000.2 5000.3 5000.3 5000.3 5000.3")]
    [InlineData("1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1 1436509052.1")]
    [InlineData("0.0 0.1 0.05")]                                                           // too few to tell
    [InlineData("0.0 0.0 0.0 0.0 0.0 0.0 0.0 0.0 0.0 0.0")]
    public void Stamps_that_count_on_are_not_taken_for_delta(string stamps)
    {
        string log = string.Concat(stamps.Split(' ').Select(stamp => $"({stamp}) can0 123#4B6E\n"));

        Assert.Equal(stamps.Split(' ').Length, Read(log, Small).Values["Oil"].Count);
    }

    [Fact]
    public void A_line_longer_than_any_frame_is_damaged_and_the_next_one_is_read()
    {
        string log = $"(1.0) can0 123#4B6E\n(1.1) can0 123#{new string('0', 600_000)}\n(1.2) can0 123#4C6E\n";

        Heard heard = Read(log, Small);

        Assert.Equal("3 lines: 2 frames, 1 damaged; back 0", heard.Summary);
        Assert.Equal([300.0, 304.0], heard.Values["Oil"]);
        Assert.Equal(
            "run.log:2:1: the line is longer than 4096 bytes; a frame needs fewer than 200: ▸(1.1) can0 123#000000000…",
            Assert.Single(heard.Report.Problems).ToString());
    }

    [Fact]
    public void A_line_without_stamp_in_a_log_with_stamps_is_damaged()
    {
        Heard heard = Read("(1.0) can0 123#4B6E\ncan0 123#4B6E\n", Small);

        Assert.Equal(
            "run.log:2:1: expected a time stamp such as (1436509052.249713) at the start of the line: ▸can0 123#4B6E",
            Assert.Single(heard.Report.Problems).ToString());
    }

    [Fact]
    public void Problems_of_the_database_are_in_the_report_and_mentioned_on_opening()
    {
        ILogReader reader = Open("(1.0) can0 123#4B6E\n", $"{Small}HELLO\n");

        const string Problem = "engine.dbc:4:1: unknown statement, skipped; one begins with a word such as BO_, SG_, CM_ or VAL_: ▸HELLO";
        Assert.Equal($"One thing in a CAN database is odd or could not be used: {Problem}", reader.Assumptions[1]);
        Assert.Equal(Problem, Assert.Single(Read(reader).Report.Problems).ToString());
    }

    [Fact]
    public async Task Reading_stops_when_it_is_cancelled()
    {
        ILogReader reader = Open("(1.0) can0 123#4B6E\n", Small);
        using var stop = new CancellationTokenSource();
        await stop.CancelAsync();

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => reader.ReadAsync([0], new Heard(reader.Channels), stop.Token).AsTask());
    }

    [Theory]
    [InlineData("(1436509052.249713) can0 123#DEADBEEF\n", true)]
    [InlineData("\uFEFF(1436509052.249713) can0 123#DEADBEEF\n", true)]
    [InlineData("# a comment\n; another\n\nbroken\n(1.0) can0 1#00\n(1.5) can0 123#DEADBEEF\n", true)]
    [InlineData("  can0  123   [2]  4B 6E\n", true)]
    [InlineData("DROPCOUNT: dropped 3 CAN frames on 'can0' socket (total drops 3)\n", true)]
    [InlineData("(1.0) can0 1#00\n(1.5) can0 12#00\n", true)]
    [InlineData("", false)]
    [InlineData("# only a comment\n", false)]
    [InlineData("Time,Oil Press\ns,kPa\n0.00,300\n0.01,301\n", false)]
    [InlineData("Time;RPM\n0,00;3000\n", false)]
    [InlineData("# can0 123#11 in a comment\nTime,RPM\n0,1\n", false)]
    [InlineData("(time),(rpm)\n(1.0),(2)\n", false)]
    [InlineData("t1232AABB\r", false)]
    [InlineData("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n", false)]
    public void A_can_text_log_is_recognised_and_a_table_is_not(string text, bool expected) =>
        Assert.Equal(expected, CanTextFormat.Recognise(Encoding.UTF8.GetBytes(text)));
}
