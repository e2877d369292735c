using System.Collections.Immutable;
using System.Text.Json;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Console.Text;
using OilWatch.Detectors;
using OilWatch.Reading;

namespace OilWatch.Console.Tests;

public sealed class ChannelsTests : IDisposable
{
    private static readonly ImmutableArray<LogChannel> Channels = [new(0, "Oil Press", "psi"), new(1, "RPM", null), new(2, "Spare", "V")];

    private readonly Bench _bench = new();

    public ChannelsTests() => _bench.Parts = _bench.Parts with
    {
        OpenLog = (log, _, _) => ValueTask.FromResult<ILogReader>(new ReaderOfTwoChannels(log.Name)),
        FindRoles = (channels, sample, _) => new ChannelPlan(
            [new ChannelChoice(Role.OilPressure, channels[0], 6.894757, 0, "psi", $"Its name fits and {sample(0).Count} values reach {sample(0).Max}.")],
            ["Engine speed could not be told."]),
        RoleCost = role => $"No {role.Key()}.",
    };

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task The_answer_shows_every_channel_its_role_and_why_and_what_is_missing()
    {
        Assert.Equal(0, await _bench.RunAsync("channels", _bench.File("a.csv")));
        Assert.Equal(
            """
            --------------------------------------------------------------------------------
            a.csv (CSV)
            3 channels; 103 lines (101 rows, 2 damaged); from 0.000 to 10.000 s
            --------------------------------------------------------------------------------
              channel    unit  per s   from   to    gaps  role
              Oil Press  psi      10      0  100          oil_pressure
              RPM                 10    900  999  1: 5 s
              Spare      V            empty

            Why these roles
              - oil_pressure: Its name fits and 101 values reach 100.

            Missing, and what that costs
              - oil_temperature: No oil_temperature.
              - engine_speed: No engine_speed.
              - lateral_g: No lateral_g.
              - longitudinal_g: No longitudinal_g.
              - crankcase_pressure: No crankcase_pressure.
              - vehicle_speed: No vehicle_speed.
              - throttle: No throttle.
              - lap: No lap.
              - beacon: No beacon.
              - distance: No distance.
              - latitude: No latitude.
              - longitude: No longitude.
              - vibration: No vibration.
              - fuel_pressure: No fuel_pressure.
              - water_temperature: No water_temperature.
              - battery_voltage: No battery_voltage.

            Assumed
              - The separator is a comma.
              - Engine speed could not be told.

            2 problems while reading
              - a.csv:7:2: 'x' is no number


            """,
            _bench.Out);
        Assert.Equal("", _bench.Error);
    }

    [Fact]
    public async Task Json_says_the_same_in_a_line_a_log()
    {
        Assert.Equal(0, await _bench.RunAsync("channels", "--json", _bench.File("a.csv"), _bench.File("b.csv")));
        JsonElement[] lines = [.. _bench.Out.Split('\n')[..^1].Select(line => JsonDocument.Parse(line).RootElement.Clone())];
        Assert.Equal(["a.csv", "b.csv"], lines.Select(line => line.GetProperty("log").GetString()!), StringComparer.Ordinal);
        Assert.Equal(
            """[{"name":"Oil Press","unit":"psi","group":null,"samples":101,"absent":0,"rate_hz":10,"min":0,"max":100,"gaps":0,"gap_s":0,"role":"oil_pressure","why":"Its name fits and 101 values reach 100."},""" +
            """{"name":"RPM","unit":null,"group":null,"samples":52,"absent":0,"rate_hz":10,"min":900,"max":999,"gaps":1,"gap_s":5,"role":null,"why":null},""" +
            """{"name":"Spare","unit":"V","group":null,"samples":0,"absent":0,"rate_hz":null,"min":null,"max":null,"gaps":0,"gap_s":0,"role":null,"why":null}]""",
            lines[0].GetProperty("channels").GetRawText());
        Assert.Equal("""{"role":"oil_temperature","cost":"No oil_temperature."}""", lines[0].GetProperty("missing")[0].GetRawText());
    }

    [Fact]
    public async Task Exit_codes_are_those_of_every_verb()
    {
        Assert.Equal(3, await _bench.RunAsync("channels", "~/gone.csv"));
        Assert.Equal(4, await _bench.RunAsync("channels", "~/gone.csv", _bench.File("a.csv"), "--quiet"));
        Assert.Equal("", _bench.Out);
        Assert.Equal(2, await _bench.RunAsync("channels", _bench.File("a.csv"), "--can-db", "~/gone.dbc"));
    }

    [Fact]
    public async Task Limits_are_listed_without_a_log_as_they_would_stand_in_a_car_file()
    {
        _bench.Parts = _bench.Parts with
        {
            Limits = options => PressureDropOptions.Limits.Take(2).Select(limit => new LimitListing(
                PressureDropOptions.Section, limit.Key, limit.Unit, limit.Get(options.PressureDrop), limit.Get(PressureDropOptions.Default),
                limit.Min, limit.Max, limit.Meaning, limit.Source)),
            ParseCar = (_, _) => (AnalysisOptions.Default with { PressureDrop = new PressureDropOptions { CautionRatio = 0.7 } }, []),
        };
        Assert.Equal(0, await _bench.RunAsync("channels", "--limits", "--car", _bench.File("car.toml")));
        Assert.Equal(
            """
            [limits.pressure_drop]
            # pressure at or below this ratio of healthy can be an advisory; recovery is
            # above it; results contract: 10 % below healthy
            advisory_ratio = 0.9               # of expected, 0.5 to 0.98
            # pressure at or below this ratio of healthy for the hold is at least a caution;
            # results contract: 25 % below healthy
            caution_ratio = 0.7                # of expected, 0.3 to 0.95; default 0.75


            """,
            _bench.Out);
        Assert.Equal(0, await _bench.RunAsync("channels", "--limits", "--json"));
        using JsonDocument json = JsonDocument.Parse(_bench.Out[_bench.Out.IndexOf('{', StringComparison.Ordinal)..]);
        Assert.Equal(["advisory_ratio", "caution_ratio"],
            json.RootElement.GetProperty("limits").EnumerateArray().Select(limit => limit.GetProperty("key").GetString()!), StringComparer.Ordinal);
    }

    [Fact]
    public void Names_of_any_length_and_kind_stay_on_the_page_and_command_nothing()
    {
        var inventory = new ChannelInventory
        {
            LogName = new string('n', 200) + "\u001b[2J",
            FormatName = "CAN text log",
            Channels =
            [
                .. Enumerable.Range(0, 200).Select(i => new ChannelListing
                {
                    Channel = new LogChannel(i, "日本語の油圧チャンネル\u202e\u0007" + new string('x', i), new string('u', i % 30), "EngineMessageWithALongName"),
                    Samples = 5_000_000_000,
                    RateHz = 1e-9 * Math.Pow(10, i % 20),
                    Min = -double.MaxValue,
                    Max = 123456.789,
                    GapCount = long.MaxValue,
                    GapS = 1e12,
                    Role = Role.LongitudinalG,
                    Why = "Because\n\u001b]0;owned\u0007 of it.",
                }),
            ],
            Reading = new ReadingReport(),
        };
        Page80.Check(ChannelsAnswer.Of(inventory, colour: false));
    }

    /// <summary>Ten readings a second for 10 s on the first channel, with 5 s missing on the second, none on the third.</summary>
    private sealed class ReaderOfTwoChannels(string name) : ILogReader
    {
        public string Name => name;

        public string FormatName => "CSV";

        public IReadOnlyList<LogChannel> Channels => ChannelsTests.Channels;

        public IReadOnlyList<string> Assumptions => ["The separator is a comma."];

        public ValueTask<ReadingReport> ReadAsync(
            IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default)
        {
            Assert.Equal([0, 1, 2], selected);
            for (int i = 0; i <= 100; i++)
            {
                var at = new LogTime(i * 100_000_000L);
                sink.Add(at, 0, i);
                if (i is <= 25 or >= 75) sink.Add(at, 1, i == 100 ? 999 : 900 + i - (i % 2));
                sink.EndRecord(at);
            }
            return ValueTask.FromResult(new ReadingReport
            {
                Lines = 103,
                Classes = [("rows", 101), ("damaged", 2)],
                First = new LogTime(0),
                Last = new LogTime(10_000_000_000),
                ProblemCount = 2,
                Problems = [new ReadingProblem(name, 7, 2, "'x' is no number")],
            });
        }
    }
}
