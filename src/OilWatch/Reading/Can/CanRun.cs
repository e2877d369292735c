using System.Collections.Immutable;

namespace OilWatch.Reading.Can;

/// <summary>One pass over a CAN text log: its clock, its counts and its problems. Shared by the text forms.</summary>
/// <param name="file">The log's name for messages.</param>
/// <param name="decoder">What is wanted.</param>
/// <param name="sink">Takes the values.</param>
internal sealed class CanRun(string file, CanDecoder decoder, IReadingSink sink)
{
    /// <summary>A step backwards of more than this is counted: less is two interfaces out of step.</summary>
    public const long BackwardsNs = 250_000_000;

    private const int MaxProblemsKept = 20;

    private readonly long[] _counts = new long[6];
    private readonly List<ReadingProblem> _problems = [];
    private readonly BusFaults _faults = new();
    private long _problemCount;
    private long _zeroNs;
    private long _lastNs;
    private long _latestNs;
    private bool _hasZero;

    /// <summary>What is wanted.</summary>
    public CanDecoder Decoder { get; } = decoder;

    /// <summary>Takes the values.</summary>
    public IReadingSink Sink { get; } = sink;

    /// <summary>Lines so far, the one being read included.</summary>
    public long Lines { get; private set; }

    /// <summary>Backward steps so far.</summary>
    public long TimeWentBack { get; private set; }

    /// <summary>The stamp at which the sink last heard that time goes on, ns.</summary>
    public long ToldNs { get; private set; } = long.MinValue / 2;

    /// <summary>The instant last seen; the log's zero before any.</summary>
    public LogTime Now => new(_lastNs - _zeroNs);

    /// <summary>A line begins; to be called before anything else is said of it.</summary>
    public void NextLine() => Lines++;

    /// <summary>The line being read is of this kind.</summary>
    public void Count(CanLineKind kind) => _counts[(int)kind]++;

    /// <summary>The instant of a stamp; the first one is the log's zero.</summary>
    /// <param name="stampNs">The stamp as written, ns.</param>
    public LogTime At(long stampNs)
    {
        if (!_hasZero) (_hasZero, _zeroNs, _lastNs, _latestNs) = (true, stampNs, stampNs, stampNs);
        if (stampNs < _lastNs - BackwardsNs) TimeWentBack++;
        _lastNs = stampNs;
        _latestNs = Math.Max(_latestNs, stampNs);
        return new LogTime(stampNs - _zeroNs);
    }

    /// <summary>A data frame.</summary>
    /// <param name="at">When.</param>
    /// <param name="frame">The frame.</param>
    /// <param name="interfaceKey">What it came on, as <see cref="CanSurvey.InterfaceKey"/> gives it.</param>
    public void Frame(LogTime at, in CanFrame frame, ulong interfaceKey)
    {
        Count(CanLineKind.Frame);
        int plan = Decoder.Find(frame.Id);
        ulong only = plan < 0 ? 0 : Decoder.InterfaceOf(plan);
        if (plan < 0 || (only != 0 && only != interfaceKey))
        {
            if (_lastNs - ToldNs <= IReadingSink.TickNanoseconds) return;
            ToldNs = _lastNs;
            Sink.Passed(at);
            return;
        }
        ToldNs = _lastNs;
        Decoder.Decode(plan, at, SignalLayout.FirstEight(frame.Data), frame.Data.Length, frame.Data, Lines, Sink);
    }

    /// <summary>An error frame.</summary>
    public void ErrorFrame(LogTime at, in CanFrame frame)
    {
        Count(CanLineKind.Error);
        if (_faults.Add(frame, Lines)) Sink.DataLost(at);
    }

    /// <summary>The source says, without a time of its own, that frames were lost.</summary>
    public void FramesLost()
    {
        Count(CanLineKind.Notice);
        Sink.DataLost(Now);
    }

    /// <summary>A line that is none of what it could be.</summary>
    /// <param name="line">The line.</param>
    /// <param name="at">Where it goes wrong, counted from 0.</param>
    /// <param name="fault">What would be right.</param>
    public void Damaged(ReadOnlySpan<byte> line, int at, string fault)
    {
        Count(CanLineKind.Damaged);
        _problemCount++;
        if (_problems.Count < MaxProblemsKept) _problems.Add(Problem(file, Lines, line, at, fault));
    }

    /// <summary>The problem of a damaged line.</summary>
    public static ReadingProblem Problem(string file, long lineNumber, ReadOnlySpan<byte> line, int at, string fault) =>
        new(file, lineNumber, at + 1, $"{fault}: {Excerpt.Of(line.TrimEnd((byte)'\r'), at)}");

    /// <summary>Takes over what a quick way through many good frames has counted.</summary>
    /// <param name="frames">Lines, all of them frames.</param>
    /// <param name="backwards">Backward steps among them.</param>
    /// <param name="lastNs">The last stamp.</param>
    /// <param name="latestNs">The largest stamp.</param>
    /// <param name="toldNs">The stamp at which the sink last heard that time goes on.</param>
    public void AddFrames(long frames, long backwards, long lastNs, long latestNs, long toldNs)
    {
        ToldNs = toldNs;
        Lines += frames;
        _counts[(int)CanLineKind.Frame] += frames;
        TimeWentBack += backwards;
        _lastNs = lastNs;
        _latestNs = latestNs;
    }

    /// <summary>True once a stamp has been seen; the quick way needs its zero.</summary>
    public bool TryClock(out long zeroNs, out long lastNs, out long latestNs)
    {
        (zeroNs, lastNs, latestNs) = (_zeroNs, _lastNs, _latestNs);
        return _hasZero;
    }

    /// <summary>What was read.</summary>
    /// <param name="bytes">How many bytes.</param>
    /// <param name="databases">Their problems come first, since they concern every frame.</param>
    public ReadingReport Report(long bytes, IReadOnlyList<CanDatabase> databases)
    {
        ImmutableArray<ReadingProblem>.Builder problems = ImmutableArray.CreateBuilder<ReadingProblem>();
        long count = _problemCount;
        foreach (CanDatabase database in databases)
        {
            problems.AddRange(database.Problems.Take(MaxProblemsKept));
            count += database.ProblemCount;
        }
        problems.AddRange(_problems);
        foreach ((CanMessage message, CanSignal signal, int length, long record, long frames) in Decoder.ShortFrames)
        {
            count++;
            if (problems.Count >= 4 * MaxProblemsKept) continue;
            problems.Add(new ReadingProblem(file, record, 0, FormattableString.Invariant($"message '{message.Name}' has {length} bytes here but ") +
                FormattableString.Invariant($"signal '{signal.Name}' needs {signal.Layout.RequiredBytes}; what does not fit is absent ({frames} such frames)")));
        }
        if (_faults.Count > 0)
        {
            count++;
            problems.Add(new ReadingProblem(file, _faults.FirstRecord, 0, _faults.Describe()));
        }
        return new ReadingReport
        {
            Bytes = bytes,
            Lines = Lines,
            Classes =
            [
                ("frames", _counts[(int)CanLineKind.Frame]), ("remote frames", _counts[(int)CanLineKind.Remote]),
                ("error frames", _counts[(int)CanLineKind.Error]), ("notices", _counts[(int)CanLineKind.Notice]),
                ("comments", _counts[(int)CanLineKind.Comment]), ("damaged", _counts[(int)CanLineKind.Damaged]),
            ],
            First = _hasZero ? default(LogTime) : null,
            Last = _hasZero ? new LogTime(_latestNs - _zeroNs) : null,
            TimeWentBack = TimeWentBack,
            ProblemCount = count,
            Problems = problems.DrainToImmutable(),
        };
    }
}
