using System.Buffers;
using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Reading;
using OilWatch.Report;
using OilWatch.Results;

namespace OilWatch.Board.Showing;

/// <summary>What the board has heard, in bounded memory, and what it shows of it.</summary>
/// <remarks>Hearing and showing may happen on different threads.</remarks>
internal sealed class BoardView(BoardOptions options)
{
    /// <summary>Silence that is said, s: of the clock while no reading comes, of the log while none of the engine does.</summary>
    public const double SilenceS = 3;

    private const int MostNotices = 6;
    private const int LongestSentence = 400;

    private readonly Lock _gate = new();
    private readonly Quantities _quantities = new(options.Units);
    private readonly EngineFacts _facts = new(new Quantities(options.Units));
    private readonly AlertCards _cards = new(new Quantities(options.Units));
    private readonly LapRows _rows = new(new Quantities(options.Units));
    private readonly Queue<LapSummary> _laps = new();
    private readonly Queue<(LiveNotice Notice, string Clock)> _notices = new();
    private readonly ArrayBufferWriter<byte> _text = new();
    private int _lapsEnded;
    private ChannelPlan? _plan;
    private string? _source;
    private EngineHealth? _health;
    private LogTime? _at;
    private long _heardAt = options.Time.GetTimestamp();
    private SessionResult? _result;
    private bool _over;

    /// <summary>True when the watch is over.</summary>
    public bool IsOver
    {
        get { lock (_gate) return _over; }
    }

    public void Plan(ILogReader reader, ChannelPlan plan)
    {
        lock (_gate)
        {
            _plan = plan;
            _source = $"{(reader.Name is "-" ? "standard input" : reader.Name)}: {reader.FormatName}";
            _heardAt = options.Time.GetTimestamp();
        }
    }

    public void Tick(LogTime at)
    {
        lock (_gate)
        {
            _at = at;
            _heardAt = options.Time.GetTimestamp();
        }
    }

    public void Health(EngineHealth health)
    {
        lock (_gate)
        {
            _health = health;
            _at = _at is { } at && at > health.At ? at : health.At;
            _heardAt = options.Time.GetTimestamp();
        }
    }

    public void Lap(LapSummary lap)
    {
        lock (_gate)
        {
            _lapsEnded++;
            _laps.Enqueue(lap);
            if (_laps.Count > LapRows.Most) _laps.Dequeue();
        }
    }

    public void Notice(LiveNotice notice)
    {
        lock (_gate)
        {
            _notices.Enqueue((notice, options.Time.GetLocalNow().ToString("HH:mm:ss", CultureInfo.InvariantCulture)));
            if (_notices.Count > MostNotices) _notices.Dequeue();
        }
    }

    public void Over(SessionResult? result)
    {
        lock (_gate) (_over, _result) = (true, result);
    }

    /// <summary>What is shown now.</summary>
    /// <param name="before">What was shown before, or null.</param>
    /// <param name="state">The state of the engine in a word, as the desk has it.</param>
    /// <param name="standing">What stands.</param>
    public BoardSnapshot Show(BoardSnapshot? before, EngineState state, ImmutableArray<StandingAlert> standing)
    {
        lock (_gate)
        {
            long version = (before?.Version ?? 0) + 1;
            ImmutableArray<BoardPart> old = before?.Parts ?? [];
            ImmutableArray<BoardPart> parts =
            [
                Part(0, "about", About),
                Part(1, "engine", json => Engine(json, state, standing)),
                Part(2, "alerts", json => _cards.Write(json, standing)),
                Part(3, "laps", json => _rows.Write(json, _laps.Reverse(), _lapsEnded)),
                Part(4, "notices", Notices),
            ];
            return new BoardSnapshot(version, parts, _over);

            BoardPart Part(int place, string name, Action<Utf8JsonWriter> write)
            {
                byte[] text = Member(name, write);
                return place < old.Length && old[place].Json.AsSpan().SequenceEqual(text) ? old[place] : new BoardPart(text, version);
            }
        }
    }

    /// <summary><c>"name":{…}</c>.</summary>
    private byte[] Member(string name, Action<Utf8JsonWriter> write)
    {
        _text.ResetWrittenCount();
        // The default encoder leaves nothing but plain ASCII, without <, >, &, ' and +.
        using (var json = new Utf8JsonWriter(_text))
        {
            json.WriteStartObject();
            json.WriteStartObject(name);
            write(json);
            json.WriteEndObject();
            json.WriteEndObject();
        }
        return _text.WrittenSpan[1..^1].ToArray();
    }

    private void About(Utf8JsonWriter json)
    {
        json.Text("car", options.CarName);
        json.Text("source", _source);
    }

    private void Engine(Utf8JsonWriter json, EngineState state, ImmutableArray<StandingAlert> standing)
    {
        double silence = Silence();
        (string key, string word, string sentence) = Judge(state, standing, silence);
        json.WriteString("state", key);
        json.WriteString("word", word);
        json.Text("sentence", sentence, LongestSentence);
        json.WriteString("clock", _at is { } at ? BoardWords.Clock(at) : "");
        if (_health?.Lap is { } lap) json.WriteNumber("lap", lap);
        else json.WriteNull("lap");
        json.WriteNumber("silent_s", Math.Round(silence, 1));
        json.WriteBoolean("silent", !_over && silence >= SilenceS);
        _facts.Write(json, _health, _plan);
        json.Texts("notes", Notes());
        if (_result is { } result) json.WriteString("verdict", ResultWords.Of(result.Verdict));
        else json.WriteNull("verdict");
    }

    /// <summary>How long nothing has been heard of the engine, s: by the clock while nothing comes, by the log while other things do.</summary>
    private double Silence()
    {
        double quiet = options.Time.GetElapsedTime(_heardAt).TotalSeconds;
        double behind = _plan is not null && _at is { } at && _health is { } health ? at.SecondsSince(health.At) : 0;
        return Math.Max(quiet, behind >= SilenceS ? behind : 0);
    }

    /// <summary>The word and the sentence. What is not known is never shown as healthy; what endangers the engine is not hidden by silence.</summary>
    private (string Key, string Word, string Sentence) Judge(EngineState state, ImmutableArray<StandingAlert> standing, double silence)
    {
        if (_over)
        {
            return ("over", "OVER", _result is { } result
                ? $"The watch is over. Verdict: {ResultWords.Of(result.Verdict).ToUpperInvariant()}. {_quantities.Sentence(result.Headline)}"
                : "The watch has ended without a result. Nothing more is known of the engine.");
        }
        if (state == EngineState.Stop) return ("stop", "STOP", Gravest(standing));
        if (_plan is not null && silence >= SilenceS)
            return ("silent", "NO DATA", "Nothing is heard of the engine. What is shown is the last that was known, and may no longer be so.");
        return state switch
        {
            EngineState.Unknown => ("unknown", "NOT KNOWN", "Oil pressure or engine speed has gone absent: nothing is known of the engine."),
            EngineState.Watch => ("watch", "WATCH", Gravest(standing)),
            EngineState.Clear => ("clear", "CLEAR", "Judged, and no alert stands."),
            _ when _plan is null => ("waiting", "WAITING", "Judging begins with the first 10 seconds of data."),
            _ when !CanJudgeOil(_plan) => ("blind", "NOT JUDGED", "Oil pressure cannot be judged: it needs channels for oil pressure and engine speed."),
            _ => ("waiting", "WAITING", "Data come in; nothing could be judged yet."),
        };
    }

    private string Gravest(ImmutableArray<StandingAlert> standing)
    {
        if (standing.IsEmpty) return "";
        StandingAlert first = standing[0];
        string more = first switch
        {
            { IsOver: false } => "",
            { Alert.Ending: EventEnd.DataLost } => " No longer known: the data were lost.",
            { IsAcknowledged: true } => " It is over.",
            _ => " It is over, and nobody has acknowledged it.",
        };
        return _quantities.Sentence(first.Alert.Message) + more;
    }

    private IEnumerable<string> Notes()
    {
        if (_plan is { } plan && !CanJudgeOil(plan)) yield return "Oil pressure cannot be judged: it needs channels for oil pressure and engine speed.";
        if (_health is not { Masked: not 0 } health) yield break;
        string[] masked = [.. Roles.All.Where(health.IsMasked).Select(ReportWords.Name)];
        yield return $"Not believed at this moment: {string.Join(", ", masked)}.";
    }

    private static bool CanJudgeOil(ChannelPlan plan) => plan.Has(Role.OilPressure) && plan.Has(Role.EngineSpeed);

    private void Notices(Utf8JsonWriter json)
    {
        json.WriteStartArray("rows");
        foreach ((LiveNotice notice, string clock) in _notices.Reverse())
        {
            json.WriteStartObject();
            json.WriteString("clock", clock);
            json.WriteString("severity", notice.Severity?.Word());
            json.Text("text", notice.Text, LongestSentence);
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }
}
