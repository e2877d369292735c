using System.Globalization;
using System.Text.RegularExpressions;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Sensing;

namespace OilWatch.Tests.Synthesiser;

public partial class LogTests
{
    [Theory]
    [InlineData("wet-left", 11, false, false)]
    [InlineData("mixed-rates", 11, true, false)]
    [InlineData("dry-sump", 6, false, true)]
    public void Csv_and_CAN_of_one_run_decode_to_the_same_within_quantisation(string scenario, ulong seed, bool motorola, bool j1939)
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan(scenario, seed) { Laps = 1 });
        CanLayout layout = CanLayout.Build(run, new SeededRandom(seed, "can"), motorola, j1939);
        Dictionary<string, List<(double At, double Value)>> csv = ReadCsv(Csv(run));
        Dictionary<string, List<(double At, double Value)>> can = ReadCan(Can(run, layout), Dbc.Text(layout));

        int compared = 0;
        foreach (CanSignal signal in layout.Messages.SelectMany(m => m.Signals))
        {
            SampledChannel channel = run.Channel(signal.Role)!;
            List<(double At, double Value)> column = csv[channel.Name];
            // The standard's groups are in the standard's units.
            bool standard = !string.Equals(signal.Unit, channel.Unit, StringComparison.Ordinal) || layout.Messages.Any(m => m.IsJ1939 && m.Signals.Contains(signal));
            double scale = standard ? channel.Scale : 1, offset = standard ? channel.Offset : 0;
            double allowed = (signal.Factor / 2) + (channel.Quantum * Math.Abs(scale) / 2) + 1e-6;
            int row = 0;
            foreach ((double at, double value) in can[signal.Name])
            {
                while (row + 1 < column.Count && column[row + 1].At <= at + 5e-7) row++;
                Assert.True(
                    Math.Abs((column[row].Value * scale) + offset - value) <= allowed,
                    $"{signal.Name} at {at}: CSV {column[row].Value} CAN {value}, allowed {allowed}");
                compared++;
            }
        }

        Assert.True(compared > 5000);
        Assert.Equal(run.Channels.Select(c => c.Role).Order(StringComparer.Ordinal), layout.Messages.SelectMany(m => m.Signals).Select(s => s.Role).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Inserted_signals_are_those_of_the_published_frames()
    {
        // check-values 5, "encode BE": Rpm 7250, OilP 421.5, GLat -12.34, OilT 104, Odd 677 (COMPUTED cantools 39.4.5).
        byte[] be = new byte[8];
        Put(be, 7, 16, motorola: true, signed: false, 0.25, 0, 7250);
        Put(be, 23, 12, motorola: true, signed: false, 0.5, 0, 421.5);
        Put(be, 27, 12, motorola: true, signed: true, 0.01, 0, -12.34);
        Put(be, 47, 8, motorola: true, signed: false, 1, -40, 104);
        Put(be, 53, 10, motorola: true, signed: false, 1, 0, 677);
        Assert.Equal("714834BB2E902A50", Convert.ToHexString(be));

        // check-values 5, "encode LE": Rpm 7250, OilP 421.5, GLat -12.34, OilT 104, Flag 1 (COMPUTED cantools 39.4.5).
        byte[] le = new byte[8];
        Put(le, 0, 16, motorola: false, signed: false, 0.125, 0, 7250);
        Put(le, 16, 12, motorola: false, signed: false, 0.5, 0, 421.5);
        Put(le, 28, 12, motorola: false, signed: true, 0.01, 0, -12.34);
        Put(le, 40, 8, motorola: false, signed: false, 1, -40, 104);
        Put(le, 48, 1, motorola: false, signed: false, 1, 0, 1);
        Assert.Equal("90E24BE3B2900100", Convert.ToHexString(le));

        // check-values 3.1: 7250 rpm is E290, 300 kPa and -10 kPa are 4B and 7800 (COMPUTED cantools).
        Assert.Equal(0xE290, new CanSignal("", "", 24, 16, false, false, 0.125, 0, "").ToRaw(7250, 0xFAFF));
        Assert.Equal(0x4B, new CanSignal("", "", 24, 8, false, false, 4, 0, "").ToRaw(300, 0xFA));
        Assert.Equal(0x7800, new CanSignal("", "", 32, 16, false, false, 1.0 / 128, -250, "").ToRaw(-10, 0xFAFF));
        Assert.Equal(0xFFFF, new CanSignal("", "", 32, 16, false, false, 1.0 / 128, -250, "").ToRaw(double.NaN, 0xFAFF));

        static void Put(byte[] data, int start, int length, bool motorola, bool signed, double factor, double offset, double value)
        {
            var signal = new CanSignal("", "", start, length, motorola, signed, factor, offset, "");
            signal.Insert(data, signal.ToRaw(value, long.MaxValue));
        }
    }

    [Theory]
    [InlineData(',', '.', "brackets", "seconds", false, "Time [s],Engine Speed [rpm],Oil Press [kPa],Oil Temp [degC]")]
    [InlineData(';', ',', "parentheses", "milliseconds", false, "Time (ms);Engine Speed (rpm);Oil Press (kPa);Oil Temp (degC)")]
    [InlineData('\t', ',', "underscore", "clock", false, "Time\tEngine_Speed_rpm\tOil_Press_kPa\tOil_Temp_degC")]
    [InlineData(',', '.', "row", "iso", true, "Session,clean-wet")]
    public void A_dialect_shows_in_every_line(char separator, char mark, string units, string time, bool preamble, string firstLine)
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan("clean-wet", 2) { Laps = 1, Tuning = new() { PlainNames = true } });
        string[] lines = Csv(run, new CsvDialect { Separator = separator, DecimalMark = mark, Units = units, Time = time, Preamble = preamble }).Split('\n');
        Assert.StartsWith(firstLine, lines[0], StringComparison.Ordinal);
        int table = preamble ? 4 : 0;
        int columns = lines[table].Split(separator).Length;
        Assert.Equal(run.Channels.Count + 1, columns);
        Assert.All(lines[table..^1], line => Assert.Equal(columns, line.Split(separator).Length));
        string[] row = lines[table + 40].Split(separator);
        Assert.Matches(time switch { "seconds" => @"^1\.9[05]0$", "milliseconds" => "^19[05]0$", "clock" => @"^0:00:01,?\.?9[05]0$", _ => @"^2031-06-14T13:00:01\.9[05]0Z$" }, row[0]);
        Assert.Equal(mark == ',', lines[table + 40].Contains(',', StringComparison.Ordinal) && separator != ',');
        if (units is "row") Assert.Equal(["", "rpm", "kPa"], lines[table + 1].Split(separator)[..3]);
    }

    [Fact]
    public void Channels_of_different_rates_fill_their_cells_only_when_they_tick()
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan("mixed-rates", 2) { Laps = 1 });
        Dictionary<string, List<(double At, double Value)>> csv = ReadCsv(Csv(run));
        Assert.All(run.Channels, channel => Assert.Equal(channel.Values.Length, csv[channel.Name].Count));
        Assert.Equal(4, run.Channels.Select(c => c.RateHz).Distinct().Count());
    }

    [Fact]
    public void An_empty_reading_is_an_empty_cell_and_all_ones_on_the_bus()
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan("clean-wet", 2)
        {
            Laps = 1,
            Tuning = new() { PlainNames = true, Faults = [new("oil_pressure", "dropout-empty", 50, 52)] },
        });
        string row = Csv(run).Split('\n').First(line => line.StartsWith("51.000,", StringComparison.Ordinal));
        Assert.Equal("", row.Split(',')[2]);
        CanLayout layout = CanLayout.Build(run, new SeededRandom(2, "can"), motorolaEngine: false, j1939: true);
        var can = ReadCan(Can(run, layout), Dbc.Text(layout));
        Assert.Equal(1020, can["Oil_Press"].First(r => r.At > 51).Value);
    }

    [Fact]
    public void The_folder_holds_logs_database_car_file_and_truth()
    {
        string folder = Path.Combine(Path.GetTempPath(), "oilwatch-" + Guid.NewGuid().ToString("N", CultureInfo.InvariantCulture));
        try
        {
            RunFolder.Write(SessionSynthesiser.Run(new SessionPlan("gps-laps", 2) { Laps = 1 }), folder, csv: true, can: true);
            Assert.Equal(
                ["car.toml", "engine.dbc", "session.csv", "session.log", "truth.json"],
                Directory.GetFiles(folder).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal),
                StringComparer.Ordinal);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static string Csv(SynthesisedRun run, CsvDialect? dialect = null)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        CsvLog.Write(run, text, dialect ?? CsvDialect.Plain);
        return text.ToString();
    }

    private static string Can(SynthesisedRun run, CanLayout layout)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        CanLog.Write(run, layout, text);
        return text.ToString();
    }

    // A slow, obvious reader of the plain dialect.
    private static Dictionary<string, List<(double At, double Value)>> ReadCsv(string text)
    {
        string[] lines = text.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        string[] names = [.. lines[0].Split(',').Select(cell => cell.Split(" [")[0])];
        var result = names.Skip(1).ToDictionary(name => name, _ => new List<(double, double)>(), StringComparer.Ordinal);
        foreach (string line in lines.Skip(1))
        {
            string[] cells = line.Split(',');
            for (int c = 1; c < cells.Length; c++)
                if (cells[c].Length > 0) result[names[c]].Add((Number(cells[0]), Number(cells[c])));
        }

        return result;
    }

    // A slow, obvious decoder: a bit at a time, by the definitions of start bit and byte order.
    private static Dictionary<string, List<(double At, double Value)>> ReadCan(string log, string database)
    {
        var signals = new Dictionary<string, List<(string Name, string Mux, int Start, int Length, bool Intel, bool Signed, double Factor, double Offset)>>(StringComparer.Ordinal);
        string id = "";
        foreach (string line in database.Split('\n'))
        {
            if (MessageLine().Match(line) is { Success: true } message)
            {
                uint number = uint.Parse(message.Groups[1].Value, CultureInfo.InvariantCulture);
                id = number >> 31 == 1 ? (number & 0x1FFFFFFF).ToString("X8", CultureInfo.InvariantCulture) : number.ToString("X3", CultureInfo.InvariantCulture);
                signals[id] = [];
            }
            else if (SignalLine().Match(line) is { Success: true } s)
            {
                signals[id].Add((s.Groups[1].Value, s.Groups[2].Value.Trim(), int.Parse(s.Groups[3].Value, CultureInfo.InvariantCulture), int.Parse(s.Groups[4].Value, CultureInfo.InvariantCulture),
                    s.Groups[5].Value is "1", s.Groups[6].Value is "-", Number(s.Groups[7].Value), Number(s.Groups[8].Value)));
            }
        }

        var result = new Dictionary<string, List<(double At, double Value)>>(StringComparer.Ordinal);
        foreach (string line in log.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            Match frame = FrameLine().Match(line);
            Assert.True(frame.Success, line);
            double at = Number(frame.Groups[1].Value) - CanLog.FirstStampS + Number("0." + frame.Groups[2].Value);
            byte[] data = Convert.FromHexString(frame.Groups[4].Value);
            foreach (var s in signals[frame.Groups[3].Value])
            {
                if (s.Mux is "M" || (s.Mux.Length > 0 && !string.Equals(s.Mux, "m" + data[0].ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal))) continue;
                long raw = 0;
                int bit = s.Start;
                for (int i = 0; i < s.Length; i++)
                {
                    long one = (data[bit / 8] >> (bit % 8)) & 1;
                    raw = s.Intel ? raw | (one << i) : (raw << 1) | one;
                    bit = s.Intel ? bit + 1 : bit % 8 == 0 ? bit + 15 : bit - 1;
                }

                if (s.Signed && raw >> (s.Length - 1) == 1) raw -= 1L << s.Length;
                if (!result.TryGetValue(s.Name, out List<(double, double)>? list)) result[s.Name] = list = [];
                list.Add((at, (raw * s.Factor) + s.Offset));
            }
        }

        return result;
    }

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

#pragma warning disable MA0023 // numbered groups are shorter here
    [GeneratedRegex(@"^BO_ (\d+) \w+: 8 ECU$", RegexOptions.None, 1000)]
    private static partial Regex MessageLine();

    [GeneratedRegex(@"^ SG_ (\S+)( M| m\d+)? : (\d+)\|(\d+)@([01])([+-]) \(([^,]+),([^)]+)\) \[[^\]]*\] ""[^""]*"" Vector__XXX$", RegexOptions.None, 1000)]
    private static partial Regex SignalLine();

    [GeneratedRegex(@"^\((\d{10})\.(\d{6})\) can0 ([0-9A-F]{3}|[0-9A-F]{8})#([0-9A-F]{16})$", RegexOptions.None, 1000)]
    private static partial Regex FrameLine();
#pragma warning restore MA0023
}
