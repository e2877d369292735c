using System.Collections.Immutable;
using System.Text;
using System.Text.Json.Nodes;
using CsCheck;
using OilWatch.Alerts;
using OilWatch.Board.Showing;
using OilWatch.Channels;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Report;
using OilWatch.Tests.Cars;
using OilWatch.Tests.Results;

namespace OilWatch.Board.Tests;

public sealed class ShowingTests
{
    private readonly ClockThatIsSet _clock = new();

    private static JsonNode Shown(BoardSnapshot snapshot) => JsonNode.Parse(Encoding.UTF8.GetString(snapshot.EventSince(0)).Split("data: ")[1])!;

    private static StandingAlert Standing(Alert? alert = null) => new() { Id = 7, Alert = alert ?? Sessions.Starvation, At = LogTime.FromSeconds(313) };

    private BoardView View(ReportUnits units = ReportUnits.Si) => new(new BoardOptions { Port = 0, CarName = "Number 27", Units = units, Time = _clock });

    private static ChannelPlan Plan(params Role[] roles) => new([.. roles.Select((role, i) => new ChannelChoice(role, new LogChannel(i, "x", null), 1, 0, "", ""))], []);

    private static BoardView Planned(BoardView view, params Role[] roles)
    {
        view.Plan(new NoReader(), Plan(roles.Length > 0 ? roles : [Role.OilPressure, Role.EngineSpeed]));
        return view;
    }

    private static string Word(BoardView view, EngineState state, params ImmutableArray<StandingAlert> standing) =>
        Shown(view.Show(null, state, standing))["engine"]!["word"]!.GetValue<string>();

    [Fact]
    public void Before_anything_is_judged_nothing_looks_healthy()
    {
        BoardView view = View();
        Assert.Equal("WAITING", Word(view, EngineState.Waiting));
        Planned(view);
        Assert.Equal("WAITING", Word(view, EngineState.Waiting));
        Assert.Equal("NOT JUDGED", Word(Planned(View(), Role.EngineSpeed), EngineState.Waiting));
    }

    [Theory]
    [InlineData(EngineState.Clear, "CLEAR", "NO DATA")]
    [InlineData(EngineState.Watch, "WATCH", "NO DATA")]
    [InlineData(EngineState.Waiting, "WAITING", "NO DATA")]
    [InlineData(EngineState.Unknown, "NOT KNOWN", "NO DATA")]
    [InlineData(EngineState.Stop, "STOP", "STOP")]
    public void Silence_is_never_shown_as_health_and_hides_no_warning(EngineState state, string before, string after)
    {
        BoardView view = Planned(View());
        view.Tick(LogTime.FromSeconds(100));
        view.Health(new EngineHealth { At = LogTime.FromSeconds(100), State = state });
        Assert.Equal(before, Word(view, state, Standing()));
        _clock.Pass(2.9);
        Assert.Equal(before, Word(view, state, Standing()));
        _clock.Pass(0.1);
        Assert.Equal(after, Word(view, state, Standing()));
        JsonNode engine = Shown(view.Show(null, state, [Standing()]))["engine"]!;
        Assert.True(engine["silent"]!.GetValue<bool>());
        Assert.Equal(3, engine["silent_s"]!.GetValue<double>());
        view.Tick(LogTime.FromSeconds(101));
        Assert.Equal(before, Word(view, state, Standing()));
    }

    [Fact]
    public void An_engine_that_is_silent_among_other_talk_is_not_clear()
    {
        BoardView view = Planned(View());
        view.Health(new EngineHealth { At = LogTime.FromSeconds(100), State = EngineState.Clear });
        view.Tick(LogTime.FromSeconds(102.9));
        Assert.Equal("CLEAR", Word(view, EngineState.Clear));
        view.Tick(LogTime.FromSeconds(103));
        Assert.Equal("NO DATA", Word(view, EngineState.Clear));
    }

    [Fact]
    public void Readings_are_in_the_units_asked_for()
    {
        BoardView view = Planned(View(ReportUnits.Us), Role.OilPressure, Role.EngineSpeed, Role.OilTemperature);
        view.Health(new EngineHealth { At = LogTime.FromSeconds(9), State = EngineState.Watch, OilPressureKpa = 400, ExpectedKpa = 410, MinRatio = 0.66, OilTemperatureC = 100, SpeedRpm = 6512 });
        JsonNode shown = Shown(view.Show(null, EngineState.Watch, [Standing(Sessions.Starvation with { Message = "Oil pressure low in C3L: 96 kPa, healthy is 410. Ease off there." })]));
        // 400 and 410 kPa over 6.894757 kPa a psi; 100 °C.
        Assert.Equal(["58 psi, healthy 59, lowest 66 %", "212 °F, ", "6,510 rpm, "],
            shown["engine"]!["facts"]!.AsArray().Select(fact => $"{fact!["value"]} {fact["unit"]}, {fact["note"]}"), StringComparer.Ordinal);
        Assert.Equal("Oil pressure low in C3L: 14 psi, healthy is 59. Ease off there.", shown["engine"]!["sentence"]!.GetValue<string>());
        Assert.Equal("14 of 59 psi", shown["alerts"]!["cards"]![0]!["figures"]![0]!.GetValue<string>());
    }

    [Fact]
    public void A_sensor_that_is_not_believed_shows_no_number()
    {
        BoardView view = Planned(View());
        view.Health(new EngineHealth { At = LogTime.FromSeconds(9), State = EngineState.Clear, OilPressureKpa = 400, ExpectedKpa = 410, Masked = 1u << (int)Role.OilPressure });
        JsonNode engine = Shown(view.Show(null, EngineState.Clear, []))["engine"]!;
        Assert.Equal("""{"name":"Oil pressure","value":"","unit":"kPa","note":"sensor not believed"}""", engine["facts"]![0]!.ToJsonString());
        Assert.Equal("Not believed at this moment: oil pressure.", engine["notes"]![0]!.GetValue<string>());
        Assert.Equal("not known", engine["facts"]![1]!["note"]!.GetValue<string>());
    }

    [Fact]
    public void Losing_the_data_is_not_recovering()
    {
        StandingAlert lost = Standing(Sessions.Starvation with { Ending = EventEnd.DataLost, Message = "Ease off now." }) with { IsOver = true };
        JsonNode shown = Shown(Planned(View()).Show(null, EngineState.Watch, [lost]));
        Assert.Equal("no longer known: the data were lost while it lasted", shown["alerts"]!["cards"]![0]!["status"]!.GetValue<string>());
        Assert.Equal("Ease off now. No longer known: the data were lost.", shown["engine"]!["sentence"]!.GetValue<string>());
    }

    [Fact]
    public void A_part_that_is_the_same_is_not_sent_again()
    {
        BoardView view = Planned(View());
        BoardSnapshot first = view.Show(null, EngineState.Watch, [Standing()]);
        _clock.Pass(1);
        BoardSnapshot second = view.Show(first, EngineState.Watch, [Standing()]);
        string news = Encoding.UTF8.GetString(second.EventSince(first.Version));
        Assert.StartsWith("id: 2\ndata: {\"version\":2,\"engine\":{", news, StringComparison.Ordinal);
        Assert.DoesNotContain("\"alerts\"", news, StringComparison.Ordinal);
        Assert.EndsWith("}\n\n", news, StringComparison.Ordinal);
    }

    [Fact]
    public void However_many_alerts_stand_the_gravest_are_shown_and_the_rest_is_said()
    {
        ImmutableArray<StandingAlert> many = [.. Enumerable.Range(1, 200).Select(id => Standing() with { Id = id })];
        JsonNode alerts = Shown(View().Show(null, EngineState.Stop, many))["alerts"]!;
        Assert.Equal(40, alerts["cards"]!.AsArray().Count);
        Assert.Equal(200, alerts["standing"]!.GetValue<int>());
    }

    [Fact]
    public void Whatever_stands_in_a_log_is_one_line_of_plain_JSON_and_comes_back_as_text() =>
        Gen.String[Gen.OneOf(Gen.Char, Gen.Char[' ', '~'], Gen.OneOf('<', '>', '&', '"', '\'', '\\', '\n', '\r', '\u2028', '\0', '\u202E', '\uD83C', '\uDFC1')), 0, 60].Holds(3000, text =>
        {
            var view = new BoardView(new BoardOptions { Port = 0, CarName = text });
            view.Plan(new NoReader { Name = text }, Plan(Role.OilPressure, Role.EngineSpeed));
            view.Notice(new LiveNotice(null, text));
            Alert alert = Sessions.Starvation with { Message = text, Corner = text, Detail = text, Reading = text, Inspect = [text], Kind = AlertKind.VibrationBand };
            string sent = Encoding.UTF8.GetString(view.Show(null, EngineState.Watch, [Standing(alert)]).EventSince(0));
            Assert.True(Ascii.IsValid(sent));
            Assert.Equal(4, sent.Split('\n').Length);                        // id, data, the empty line, the end
            Assert.DoesNotContain('\r', sent);
            Assert.DoesNotContain('<', sent);
            JsonNode shown = JsonNode.Parse(sent.Split("data: ", 2)[1])!;
            string car = shown["about"]!["car"]!.GetValue<string>();
            Assert.Equal(Report.Markup.PageText.Clean(text), car);
            Assert.DoesNotContain('\u202E', car);
            Assert.Equal(car, shown["alerts"]!["cards"]![0]!["message"]!.GetValue<string>());
            Assert.Equal(car, shown["notices"]!["rows"]![0]!["text"]!.GetValue<string>());
        });

    private sealed class ClockThatIsSet : TimeProvider
    {
        private long _ticks = 1;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => _ticks;

        public void Pass(double seconds) => _ticks += (long)Math.Round(seconds * TimeSpan.TicksPerSecond);
    }

    private sealed class NoReader : OilWatch.Reading.ILogReader
    {
        public string Name { get; init; } = "session.csv";

        public string FormatName => "CSV";

        public IReadOnlyList<LogChannel> Channels => [];

        public IReadOnlyList<string> Assumptions => [];

        public ValueTask<OilWatch.Reading.ReadingReport> ReadAsync(IReadOnlyCollection<int> selected, OilWatch.Reading.IReadingSink sink, CancellationToken cancellationToken = default) =>
            throw new NotSupportedException();
    }
}
