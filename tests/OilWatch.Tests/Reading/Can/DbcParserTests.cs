using System.Text;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class DbcParserTests
{
    private const string Good = "BO_ 1 Good: 8 ECU\n SG_ S : 0|8@1+ (1,0) [0|0] \"\" X\n";

    // Each with the same good message behind it: reading goes on.
    [Theory]
    [InlineData("BO_ 546 EMV_Stati 8 ECU", "engine.dbc:1:19: expected ':' after the message name: BO_ 546 EMV_Stati ▸8 ECU")]
    [InlineData("BO_ five Engine: 8 ECU", "engine.dbc:1:5: expected the message id, a decimal number: BO_ ▸five Engine: 8 ECU")]
    [InlineData("BO_ 5 : 8 ECU", "engine.dbc:1:7: expected the message name after its id: BO_ 5 ▸: 8 ECU")]
    [InlineData("BO_ 5 Engine", "engine.dbc:1:13: expected ':' after the message name: BO_ 5 Engine▸")]
    [InlineData("BO_ 5 Engine: x ECU", "engine.dbc:1:15: expected the message length in bytes, a decimal number: BO_ 5 Engine: ▸x ECU")]
    [InlineData("BO_ 5 Engine: 2000 ECU", "engine.dbc:1:15: a message has at most 1785 bytes (64 without a transport protocol): BO_ 5 Engine: ▸2000 ECU")]
    [InlineData("BO_ 5000000000 Engine: 8 ECU",
        "engine.dbc:1:5: a message id has 32 bits at most: 0 to 2047, or a 29-bit number plus 2147483648: BO_ ▸5000000000 Engine: 8 ECU")]
    [InlineData("BO_ 217056256 Engine: 8 ECU",
        "engine.dbc:1:5: the id is more than a standard one can be (2047) and lacks bit 31 of an extended one (plus 2147483648); " +
        "taken as extended: BO_ ▸217056256 Engine: 8 ECU")]
    [InlineData(" SG_ S : 0|8@1+ (1,0) [0|0] \"\" X",
        "engine.dbc:1:2: a signal before any message; SG_ lines follow the BO_ line of their message:  ▸SG_ S : 0|8@1+ (1,0) [0|…")]
    [InlineData("HELLO world", "engine.dbc:1:1: unknown statement, skipped; one begins with a word such as BO_, SG_, CM_ or VAL_: ▸HELLO world")]
    [InlineData("CM_ BO_ 1 \"never closed;",
        "engine.dbc:1:11: a string is opened here and never closed; expected '\"' before the ';': CM_ BO_ 1 ▸\"never closed;")]
    public void A_mistake_is_reported_with_its_place_and_what_would_be_right(string line, string expected)
    {
        // The unclosed string needs a text without further quotes.
        string rest = line.Contains("never closed", StringComparison.Ordinal) ? "BO_ 1 Good: 8 ECU\n" : Good;

        CanDatabase database = Database($"{line}\n{rest}");

        Same([expected], database.Problems.Select(problem => problem.ToString()));
        Assert.Equal(1, database.ProblemCount);
        Assert.Equal("Good", database.Messages[^1].Name);
    }

    [Theory]
    [InlineData("SG_ A 0|8@1+ (1,0) [0|0] \"\" X", "3:8: expected M, m and a number, or m, a number and M, or ':' after the signal name:  SG_ A ▸0|8@1+ (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A q3 : 0|8@1+ (1,0) [0|0] \"\" X",
        "3:8: expected M, m and a number, or m, a number and M, or ':' after the signal name:  SG_ A ▸q3 : 0|8@1+ (1,0) [0|0] …")]
    [InlineData("SG_ A : 0-8@1+ (1,0) [0|0] \"\" X", "3:11: expected '|' between start bit and length:  SG_ A : 0▸-8@1+ (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@2+ (1,0) [0|0] \"\" X", "3:14: expected the byte order: 1 (Intel) or 0 (Motorola):  SG_ A : 0|8@▸2+ (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@1* (1,0) [0|0] \"\" X", "3:15: expected '+' (unsigned) or '-' (signed):  SG_ A : 0|8@1▸* (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@1+ (0,125,0) [0|0] \"\" X", "3:23: expected ')' after the offset; decimals are written with a point:  SG_ A : 0|8@1+ (0,125▸,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@1+ (x,0) [0|0] \"\" X", "3:18: expected the scale, a number with a decimal point:  SG_ A : 0|8@1+ (▸x,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@1+ (1e999,0) [0|0] \"\" X", "3:18: expected the scale, a number with a decimal point:  SG_ A : 0|8@1+ (▸1e999,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|8@1+ (0,0) [0|0] \"\" X", "3:18: a scale of 0 makes every value the same; left out:  SG_ A : 0|8@1+ (▸0,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|0@1+ (1,0) [0|0] \"\" X", "3:12: a signal has 1 to 64 bits; left out:  SG_ A : 0|▸0@1+ (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 0|65@1+ (1,0) [0|0] \"\" X", "3:12: a signal has 1 to 64 bits; left out:  SG_ A : 0|▸65@1+ (1,0) [0|0] \"\" X")]
    [InlineData("SG_ A : 99999|8@1+ (1,0) [0|0] \"\" X", "3:10: the start bit lies beyond the longest message (0 to 14279):  SG_ A : ▸99999|8@1+ (1,0) [0|0] \"…")]
    [InlineData("SG_ A : 0|8@1+ (1,0) [0|0] X", "3:29: expected the unit in quotes (\"\" when there is none):  SG_ A : 0|8@1+ (1,0) [0|0] ▸X")]
    [InlineData("SG_ S : 8|8@1+ (1,0) [0|0] \"\" X", "3:6: signal 'S' appears twice in this message; the second one is left out:  SG_ ▸S : 8|8@1+ (1,0) [0|0] \"…")]
    [InlineData("SG_ A : 60|8@1+ (1,0) [0|0] \"\" X",
        "3:10: signal 'A' reaches into byte 9 but message 'Good' has 8; it is absent from shorter frames:  SG_ A : ▸60|8@1+ (1,0) [0|0] \"\" X")]
    public void A_mistake_in_a_signal_is_reported_and_the_others_stay(string signal, string expected)
    {
        CanDatabase database = Database($"{Good} {signal}\n SG_ Last : 8|8@1+ (1,0) [0|0] \"\" X\n");

        Same([$"engine.dbc:{expected}"], database.Problems.Select(problem => problem.ToString()));
        Assert.Equal("S", database.Messages[0].Signals[0].Name);
        Assert.Equal("Last", database.Messages[0].Signals[^1].Name);
    }

    [Theory]
    [InlineData("SIG_VALTYPE_ 1 S : 1;",
        "4:20: signal 'S' has 8 bits but a floating-point number of this type has 32; the signal is left out: SIG_VALTYPE_ 1 S : ▸1;", 0)]
    [InlineData("SIG_VALTYPE_ 1 S : 7;",
        "4:20: expected the value type: 0 (integer), 1 (32-bit float) or 2 (64-bit float): SIG_VALTYPE_ 1 S : ▸7;", 1)]
    [InlineData("SIG_VALTYPE_ 1 Q : 1;", "4:16: message 'Good' has no such signal: SIG_VALTYPE_ 1 ▸Q : 1;", 1)]
    [InlineData("SG_MUL_VAL_ 1 S Q 0-1;", "4:17: message 'Good' has no such signal: SG_MUL_VAL_ 1 S ▸Q 0-1;", 1)]
    [InlineData("SG_MUL_VAL_ 1 S S 0-1;", "4:17: message 'Good' has no such signal: SG_MUL_VAL_ 1 S ▸S 0-1;", 1)]
    [InlineData("SG_MUL_VAL_ 1 S Q 3-1;", "4:19: expected a range of switch values such as 0-3 (at most 1024 ranges): SG_MUL_VAL_ 1 S Q ▸3-1;", 1)]
    [InlineData("SIG_VALTYPE_ 99 Gone : 1;", null, 1)]
    public void A_mistake_in_what_is_said_of_a_signal_is_reported(string statement, string? expected, int signals)
    {
        CanDatabase database = Database($"{Good}\n{statement}\nBO_ 2 After: 8 ECU\n");

        Same(expected is null ? [] : [$"engine.dbc:{expected}"], database.Problems.Select(problem => problem.ToString()));
        Assert.Equal(signals, database.Messages[0].Signals.Count);
        Assert.Equal("After", database.Messages[1].Name);
    }

    [Fact]
    public void A_multiplexed_signal_without_a_switch_is_left_out()
    {
        CanDatabase database = Database("BO_ 1 Good: 8 ECU\n SG_ A m0 : 0|8@1+ (1,0) [0|0] \"\" X\n SG_ B : 8|8@1+ (1,0) [0|0] \"\" X\n");

        Same(
            ["engine.dbc: signal 'A' of message 'Good' is multiplexed but its switch (a signal marked M, or named in SG_MUL_VAL_) cannot be found; left out"],
            database.Problems.Select(problem => problem.ToString()));
        Same(["B"], database.Messages[0].Signals.Select(signal => signal.Name));
    }

    [Fact]
    public void Switches_that_go_round_in_a_circle_are_left_out()
    {
        CanDatabase database = Database(
            "BO_ 1 Good: 8 ECU\n SG_ A m0M : 0|8@1+ (1,0) [0|0] \"\" X\n SG_ B m0M : 8|8@1+ (1,0) [0|0] \"\" X\n" +
            "SG_MUL_VAL_ 1 A B 0-0;\nSG_MUL_VAL_ 1 B A 0-0;\n");

        Assert.Equal(2, database.ProblemCount);
        Assert.Empty(database.Messages[0].Signals);
    }

    [Fact]
    public void A_name_longer_than_any_editor_allows_is_a_mistake()
    {
        CanDatabase database = Database($"BO_ 1 {new string('n', 257)}: 8 ECU\nBO_ 2 {new string('n', 256)}: 8 ECU\n");

        Same(["engine.dbc:1:7: a name has at most 256 characters: BO_ 1 ▸nnnnnnnnnnnnnnnnnnnnnnnn…"], database.Problems.Select(problem => problem.ToString()));
        Assert.Equal(2u, Assert.Single(database.Messages).Id.Number);
    }

    [Fact]
    public void An_id_defined_twice_keeps_the_first_message()
    {
        CanDatabase database = Database($"{Good}BO_ 1 Second: 8 ECU\n SG_ T : 0|8@1+ (1,0) [0|0] \"\" X\n");

        Same(
            ["engine.dbc:3:5: id 001 already belongs to message 'Good'; this one is left out: BO_ ▸1 Second: 8 ECU"],
            database.Problems.Select(problem => problem.ToString()));
        Assert.Single(database.Messages);
        Same(["S"], database.Messages[0].Signals.Select(signal => signal.Name));
    }

    [Theory]
    [InlineData("", "engine.dbc: no message is defined; a CAN database (DBC) has lines such as BO_ 256 Engine: 8 ECU")]
    [InlineData("BO_ 5 Engine 8",
        "engine.dbc: no message is defined; a CAN database (DBC) has lines such as BO_ 256 Engine: 8 ECU; " +
        "first problem: engine.dbc:1:14: expected ':' after the message name: BO_ 5 Engine ▸8")]
    public void A_file_without_any_message_is_refused(string text, string expected) => Assert.Equal(expected, Refusal(() => Database(text)));

    [Fact]
    public void A_file_that_is_too_large_is_refused()
    {
        var source = new OilWatch.Reading.LogSource("huge.dbc", () => new EndlessStream());

        string message = Refusal(() => CanDatabase.LoadAsync(source, CancellationToken.None).AsTask().GetAwaiter().GetResult());

        Assert.Equal("huge.dbc: a CAN database of more than 64 MiB is not read", message);
    }

    [Fact]
    public void Everything_that_is_not_about_signals_is_stepped_over()
    {
        CanDatabase database = Database("""
            VERSION "made up; BO_ 9 No: 8 X"

            NS_ :
            	NS_DESC_
            	CM_
            	BA_DEF_
            	SIG_VALTYPE_
            	SG_MUL_VAL_

            BS_: 500 : 1,1
            BU_: ECU Dash
            VAL_TABLE_ OnOff 1 "on" 0 "off" ;
            BO_ 3221225472 VECTOR__INDEPENDENT_SIG_MSG: 0 Vector__XXX
             SG_ Loose : 0|8@1+ (1,0) [0|0] "" Vector__XXX

            BO_ 256 Engine: 8 ECU
             SG_ Gear : 0|8@1+ (1,0) [0|0] "" Dash

            BO_TX_BU_ 256 : ECU,Dash;
            EV_ Env: 0 [0|1] "" 0 1 DUMMY_NODE_VECTOR0 Vector__XXX;
            ENVVAR_DATA_ Env: 4;
            SIG_GROUP_ 256 Group 1 : Gear;
            CM_ "a comment
            BO_ 8 NotAMessage: 8 ECU
             over \"several\" lines; with a semicolon";
            CM_ SG_ 256 Gear "the gear";
            BA_DEF_ BO_ "GenMsgCycleTime" INT 0 65535;
            BA_DEF_ "Folder" STRING ;
            BA_DEF_DEF_ "GenMsgCycleTime" 0;
            BA_DEF_DEF_ "Folder" "C:\logs\";
            BA_ "GenMsgCycleTime" BO_ 256 10;
            VAL_ 256 Gear 1 "first" 2 "second" ;
            BO_ 257 Last: 8 ECU
            """);

        Assert.Empty(database.Problems);
        Same(["Engine", "Last"], database.Messages.Select(message => message.Name));
    }

    [Theory]
    [InlineData("(+1E-3,-4.0E+1) [-1.5e2|+1.5E2]", 1e-3, -40, -150, 150)]
    [InlineData("(.5,0.) [0|0]", 0.5, 0, 0, 0)]
    [InlineData("( 2 , 3 ) [ 0 | 1 ]", 2, 3, 0, 1)]
    public void Numbers_may_have_plus_signs_exponents_and_blanks(string numbers, double scale, double offset, double minimum, double maximum)
    {
        CanSignal signal = Database($"BO_ 1 Good:8 ECU\n SG_ S:0|8@1+{numbers}\"kPa\"X\n").Messages[0].Signals[0];

        Assert.Equal((scale, offset, minimum, maximum, "kPa"), (signal.Scale, signal.Offset, signal.Minimum, signal.Maximum, signal.Unit));
    }

    [Fact]
    public void A_database_is_utf8_or_else_windows_1252()
    {
        string text = "BO_ 1 Öl: 8 ECU\n SG_ Temperatur_Öl : 0|8@1+ (1,0) [0|0] \"°C\" X\n";
        byte[] windows = [.. text.Select(c => (byte)c)];                          // Latin-1 part of Windows-1252

        foreach (byte[] bytes in new[] { Encoding.UTF8.GetBytes(text), windows, [0xEF, 0xBB, 0xBF, .. Encoding.UTF8.GetBytes(text)],
            [0xFF, 0xFE, .. Encoding.Unicode.GetBytes(text)], [0xFE, 0xFF, .. Encoding.BigEndianUnicode.GetBytes(text)] })
        {
            CanDatabase database = CanDatabase.Parse("engine.dbc", bytes);

            Assert.Equal(("Öl", "Temperatur_Öl", "°C"),
                (database.Messages[0].Name, database.Messages[0].Signals[0].Name, database.Messages[0].Signals[0].Unit));
            Assert.Empty(database.Problems);
        }
    }

    [Theory]
    // Unicode CP1252.TXT: the euro sign, per mille, the Z with caron, and a hole.
    [InlineData(0x80, '\u20AC')]
    [InlineData(0x89, '\u2030')]
    [InlineData(0x8E, '\u017D')]
    [InlineData(0x81, '\u0081')]
    [InlineData(0xB0, '°')]
    public void Windows_1252_is_decoded_by_its_table(int code, char expected) => Assert.Equal(expected, DbcEncoding.Decode([(byte)code])[0]);

    [Fact]
    public void A_message_is_a_parameter_group_only_where_the_database_says_so()
    {
        const string Messages =
            "BO_ 2364540158 Eec1: 8 X\n SG_ A : 24|16@1+ (0.125,0) [0|8031.875] \"rpm\" X\nBO_ 2566844158 Et1: 8 X\n SG_ B : 0|8@1+ (1,-40) [-40|210] \"degC\" X\n";
        const string Format = "BA_DEF_ BO_ \"VFrameFormat\" ENUM \"StandardCAN\",\"ExtendedCAN\",\"reserved\",\"J1939PG\";\n";

        string Groups(string rest) => string.Join(' ', Database(Messages + rest).Messages.Where(one => one.IsParameterGroup).Select(one => one.Name));

        Assert.Equal("", Groups(""));
        Assert.Equal("Eec1", Groups($"{Format}BA_ \"VFrameFormat\" BO_ 2364540158 3;\n"));
        Assert.Equal("Eec1", Groups("BA_ \"VFrameFormat\" BO_ 2364540158 3;\n"));
        Assert.Equal("Eec1", Groups($"{Format}BA_ \"VFrameFormat\" BO_ 2364540158 \"J1939PG\";\n"));
        Assert.Equal("", Groups($"{Format}BA_ \"VFrameFormat\" BO_ 2364540158 1;\n"));
        Assert.Equal("Eec1 Et1", Groups($"{Format}BA_DEF_DEF_ \"VFrameFormat\" \"J1939PG\";\n"));
        Assert.Equal("Et1", Groups($"{Format}BA_DEF_DEF_ \"VFrameFormat\" \"J1939PG\";\nBA_ \"VFrameFormat\" BO_ 2364540158 1;\n"));
        Assert.Equal("Eec1 Et1", Groups("BA_DEF_ \"ProtocolType\" STRING ;\nBA_ \"ProtocolType\" \"J1939\";\n"));
    }

    [Fact]
    public void Many_mistakes_are_counted_and_the_first_hundred_kept()
    {
        CanDatabase database = Database($"{Good}{string.Concat(Enumerable.Repeat("BO_ x\n", 5_000))}");

        Assert.Equal(5_000, database.ProblemCount);
        Assert.Equal(100, database.Problems.Length);
    }

    private sealed class EndlessStream : Stream
    {
        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position { get => 0; set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count) => count;

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
