using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Reading.Can;

namespace OilWatch.Tests.Reading.Can;

/// <summary>Sources, readers and a sink for the tests of CAN logs.</summary>
internal static class CanBench
{
    /// <summary>The messages of check-values 5, as database text.</summary>
    public const string CheckDatabase = """
        VERSION ""
        BU_: ECU
        BO_ 256 LE: 8 ECU
         SG_ Rpm : 0|16@1+ (0.125,0) [0|0] "rpm" Vector__XXX
         SG_ OilP : 16|12@1+ (0.5,0) [0|0] "kPa" Vector__XXX
         SG_ GLat : 28|12@1- (0.01,0) [0|0] "g" Vector__XXX
         SG_ OilT : 40|8@1+ (1,-40) [0|0] "degC" Vector__XXX
         SG_ Flag : 48|1@1+ (1,0) [0|0] "" Vector__XXX
        BO_ 257 BE: 8 ECU
         SG_ Rpm : 7|16@0+ (0.25,0) [0|0] "rpm" Vector__XXX
         SG_ OilP : 23|12@0+ (0.5,0) [0|0] "kPa" Vector__XXX
         SG_ GLat : 27|12@0- (0.01,0) [0|0] "g" Vector__XXX
         SG_ OilT : 47|8@0+ (1,-40) [0|0] "degC" Vector__XXX
         SG_ Odd : 53|10@0+ (1,0) [0|0] "" Vector__XXX
        BO_ 258 FL: 8 ECU
         SG_ F : 0|32@1- (1,0) [0|0] "" Vector__XXX
         SG_ Fb : 39|32@0- (1,0) [0|0] "" Vector__XXX
        BO_ 259 DB: 8 ECU
         SG_ D : 0|64@1- (1,0) [0|0] "" Vector__XXX
        BO_ 260 MX: 8 ECU
         SG_ M M : 0|8@1+ (1,0) [0|0] "" Vector__XXX
         SG_ OilP m0 : 8|16@1+ (0.1,0) [0|0] "kPa" Vector__XXX
         SG_ OilT m0 : 24|16@1- (0.1,0) [0|0] "degC" Vector__XXX
         SG_ CrankP m1 : 8|16@1- (0.01,0) [0|0] "kPa" Vector__XXX
         SG_ Hours m1 : 24|32@1+ (0.05,0) [0|0] "h" Vector__XXX
         SG_ Always : 56|8@1+ (1,0) [0|0] "" Vector__XXX
        SIG_VALTYPE_ 258 F : 1;
        SIG_VALTYPE_ 258 Fb : 1;
        SIG_VALTYPE_ 259 D : 2;
        """;

    /// <summary>A source of text.</summary>
    public static LogSource Source(string name, string text) => Source(name, Encoding.UTF8.GetBytes(text));

    /// <summary>A source of bytes.</summary>
    public static LogSource Source(string name, byte[] bytes) => new(name, () => new MemoryStream(bytes, writable: false));

    /// <summary>A database of text.</summary>
    public static CanDatabase Database(string text, string name = "engine.dbc") => CanDatabase.Parse(name, Encoding.UTF8.GetBytes(text));

    /// <summary>Opens a CAN text log.</summary>
    public static ILogReader Open(string log, params string[] databases) =>
        CanTextFormat.OpenAsync(Source("run.log", log), Options(databases), CancellationToken.None).AsTask().GetAwaiter().GetResult();

    /// <summary>Opens an SLCAN log.</summary>
    public static ILogReader OpenSlcan(string log, params string[] databases) =>
        SlcanFormat.OpenAsync(Source("run.txt", log), Options(databases), CancellationToken.None).AsTask().GetAwaiter().GetResult();

    /// <summary>Reads all channels of a CAN text log.</summary>
    public static Heard Read(string log, params string[] databases) => Read(Open(log, databases));

    /// <summary>Reads all channels.</summary>
    public static Heard Read(ILogReader reader)
    {
        var heard = new Heard(reader.Channels);
        heard.Report = reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], heard).AsTask().GetAwaiter().GetResult();
        return heard;
    }

    /// <summary>The message an action refuses its input with.</summary>
    public static string Refusal(Action action) => Assert.Throws<InputException>(action).Message;

    /// <summary>Asserts that texts are the same, one by one.</summary>
    public static void Same(IEnumerable<string> expected, IEnumerable<string> actual) =>
        Assert.Equal(string.Join('\n', expected), string.Join('\n', actual));

    /// <summary>Bytes of hexadecimal digits.</summary>
    public static byte[] Bytes(string hex) => Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal));

    private static ReaderOptions Options(string[] databases)
    {
        string Name(int index) => index == 0 ? "engine.dbc" : FormattableString.Invariant($"engine{index + 1}.dbc");
        return new ReaderOptions { CanDatabases = [.. databases.Select((text, index) => Source(Name(index), text))] };
    }

    /// <summary>Everything a reader said, as text.</summary>
    internal sealed class Heard(IReadOnlyList<LogChannel> channels) : IReadingSink
    {
        private readonly List<string> _lines = [];

        public IReadOnlyList<string> Lines => _lines;

        /// <summary>Instants at which nothing was wanted.</summary>
        public List<long> Passes { get; } = [];

        public Dictionary<string, List<double>> Values { get; } = new(StringComparer.Ordinal);

        public ReadingReport Report { get; set; } = new();

        public void Add(LogTime at, int channel, double value)
        {
            string name = channels[channel].Name;
            _lines.Add(string.Create(CultureInfo.InvariantCulture, $"{at.Nanoseconds} {name} {value:R}"));
            if (!Values.TryGetValue(name, out List<double>? values)) Values.Add(name, values = []);
            values.Add(value);
        }

        public void EndRecord(LogTime at) => _lines.Add(string.Create(CultureInfo.InvariantCulture, $"{at.Nanoseconds} end"));

        public void Passed(LogTime at) => Passes.Add(at.Nanoseconds);

        public void DataLost(LogTime at) => _lines.Add(string.Create(CultureInfo.InvariantCulture, $"{at.Nanoseconds} lost"));

        /// <summary>The report in one line.</summary>
        public string Summary => string.Create(CultureInfo.InvariantCulture,
            $"{Report.Lines} lines: {string.Join(", ", Report.Classes.Where(one => one.Count > 0).Select(one => $"{one.Count} {one.Name}"))}; back {Report.TimeWentBack}");
    }
}
