using OilWatch.Channels;
using OilWatch.Reading.Csv;

namespace OilWatch.Reading;

/// <summary>Reads a CSV log: a table of channels with a time for each row, however the exporter wrote it.</summary>
/// <remarks>
/// <para>
/// RFC 4180 with what real exports do to it: comma, semicolon or tab; a decimal comma; lines of notes before the column names; units in the
/// names or in a row below them; quoted cells; empty cells; rows out of order or repeated. What was found is said in <see cref="Assumptions"/>.
/// </para>
/// <para>
/// In the report every physical line is of one class, and the counts add up to the lines; a row that goes over several lines, because a
/// quoted cell holds line ends, counts them all as its class. A row up to 256 rows out of its place is put in order.
/// </para>
/// </remarks>
public sealed class CsvReader : ILogReader
{
    private const int HeadBytes = 64 * 1024;
    private const int MaxHeadBytes = 1024 * 1024;
    private const int EnoughLines = 20;

    private readonly LogSource _source;
    private readonly CsvLayout _layout;
    private readonly bool _asLive;

    private CsvReader(LogSource source, CsvLayout layout, bool asLive)
    {
        _source = source;
        _layout = layout;
        _asLive = asLive;
    }

    /// <inheritdoc/>
    public string Name => _source.Name;

    /// <inheritdoc/>
    public string FormatName => "CSV";

    /// <inheritdoc/>
    public IReadOnlyList<LogChannel> Channels => _layout.Channels;

    /// <inheritdoc/>
    public IReadOnlyList<string> Assumptions => _layout.Assumptions;

    /// <summary>The lines before the column names, as keys and values; the key is empty where a line has only one part.</summary>
    public IReadOnlyList<(string Key, string Value)> Preamble => _layout.Preamble;

    /// <summary>True when the bytes may be CSV: plain text, and none of the files known as something else.</summary>
    internal static bool Recognise(ReadOnlySpan<byte> firstBytes) => ForeignBytes.IsPlainText(firstBytes);

    /// <summary>Opens a log and finds out how it is laid out.</summary>
    /// <param name="source">The log, decoded.</param>
    /// <param name="options">Whether it is looked at as it comes.</param>
    /// <param name="cancellationToken">Stops the opening.</param>
    /// <exception cref="InputException">There is no table in it, or no time.</exception>
    internal static ValueTask<ILogReader> OpenAsync(LogSource source, ReaderOptions options, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        using Stream stream = LogBytes.OpenOrExplain(source);
        try
        {
            byte[] head = Head(stream, out bool whole);
            CsvLayout layout = CsvSniffer.Look(source.Name, head, whole, (stream as DecodedStream)?.Note);
            return ValueTask.FromResult<ILogReader>(new CsvReader(source, layout, options.AsLive));
        }
        catch (IOException error)
        {
            throw LogBytes.CannotRead(source.Name, error);
        }
    }

    /// <inheritdoc/>
    /// <exception cref="ArgumentOutOfRangeException">A selected channel is not one of <see cref="Channels"/>.</exception>
    /// <exception cref="InputException">The log cannot be read.</exception>
    public async ValueTask<ReadingReport> ReadAsync(
        IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(selected);
        ArgumentNullException.ThrowIfNull(sink);
        int[] channels = [.. selected.Distinct().Order()];
        if (channels.Any(channel => channel < 0 || channel >= Channels.Count))
            throw new ArgumentOutOfRangeException(nameof(selected), "a selected channel is not one of the log's");

        var problems = new CsvProblems(Name);
        foreach (ReadingProblem problem in _layout.Problems) problems.Add(problem);
        var rows = new CsvRows(_layout, channels, sink, problems);
        long bytes;
        try
        {
            using Stream stream = LogBytes.OpenOrExplain(_source);
            using Stream read = _asLive ? stream : new AheadStream(stream);
            bytes = await RecordPump.PumpAsync(read, rows, cancellationToken).ConfigureAwait(false);
            if (stream is DecodedStream { Damage: { } damage }) problems.Add(new ReadingProblem(Name, rows.LineCount, 0, damage));
        }
        catch (IOException error)
        {
            throw LogBytes.CannotRead(Name, error);
        }
        return new ReadingReport
        {
            Bytes = bytes,
            Lines = rows.LineCount,
            Classes =
            [
                ("rows", rows.CountOf(CsvLine.Row)),
                ("repeated", rows.CountOf(CsvLine.Repeated)),
                ("out of order", rows.CountOf(CsvLine.OutOfOrder)),
                ("without time", rows.CountOf(CsvLine.WithoutTime)),
                ("blank", rows.CountOf(CsvLine.Blank)),
                ("preamble", rows.CountOf(CsvLine.Preamble)),
                ("header", rows.CountOf(CsvLine.Header)),
                ("units", rows.CountOf(CsvLine.Units)),
                ("comments", rows.CountOf(CsvLine.Comment)),
                ("damaged", rows.CountOf(CsvLine.Damaged)),
                ("too long", rows.CountOf(CsvLine.TooLong)),
            ],
            First = rows.First,
            Last = rows.Last,
            TimeWentBack = rows.TimeWentBack,
            ProblemCount = problems.Count,
            Problems = problems.First,
        };
    }

    /// <summary>Enough of the beginning to judge by: more than usual where the lines are long.</summary>
    private static byte[] Head(Stream stream, out bool whole)
    {
        byte[] head = LogBytes.Head(stream, HeadBytes);
        while (head.Length >= HeadBytes && head.Length < MaxHeadBytes && LineEnds(head) < EnoughLines)
        {
            byte[] more = LogBytes.Head(stream, head.Length);
            if (more.Length == 0) break;
            head = [.. head, .. more];
        }
        whole = head.Length < HeadBytes || LogBytes.Head(stream, 1).Length == 0;
        return head;
    }

    private static int LineEnds(ReadOnlySpan<byte> bytes) => Math.Max(bytes.Count((byte)'\n'), bytes.Count((byte)'\r'));
}
