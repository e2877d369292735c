using System.Buffers;

namespace OilWatch.Reading.Can;

/// <summary>Reads the beginning of a log into a <see cref="CanSurvey"/>. One class a text form.</summary>
internal abstract class CanSurveyor(string file) : CanLines
{
    /// <summary>How much of a log is looked at before it is read, bytes.</summary>
    public const long UsualBytes = 4 * 1024 * 1024;

    private const int BufferBytes = 256 * 1024;

    private const long MostLines = 1 << 18;                                      // where stamps stand still, time limits nothing

    private long _line;
    private long? _firstNs;
    private bool _enough;

    /// <summary>How much of the log's own time is looked at, ns. What is found does not depend on how the bytes were cut.</summary>
    public long LongestNs { get; init; } = long.MaxValue;

    /// <summary>What was found.</summary>
    public CanSurvey Found { get; } = new();

    /// <summary>Frames with a time stamp.</summary>
    public long Stamped { get; protected set; }

    /// <summary>Frames without.</summary>
    public long Unstamped { get; protected set; }

    /// <summary>True when so many lines were looked at that more will not be.</summary>
    public bool IsExhausted => _enough && _line > MostLines;

    /// <summary>The first damaged line.</summary>
    public ReadingProblem? FirstProblem { get; private set; }

    /// <summary>The log's name for messages.</summary>
    protected string File { get; } = file;

    /// <summary>Reads up to a number of bytes, or all there are. A line cut by the limit is not looked at.</summary>
    public async ValueTask ReadAsync(LogSource source, long limit, CancellationToken cancellationToken)
    {
        byte[] buffer = ArrayPool<byte>.Shared.Rent(BufferBytes);
        Stream stream = source.Open();
        try
        {
            int filled = 0;
            for (long total = 0; total < limit;)
            {
                int count = await stream.ReadAsync(buffer.AsMemory(filled), cancellationToken).ConfigureAwait(false);
                filled += count;
                total += count;
                int used = Handle(buffer.AsSpan(0, filled), final: count == 0);
                if (_enough) return;
                if (count == 0)
                {
                    Found.IsWhole = true;
                    return;
                }
                buffer.AsSpan(used, filled - used).CopyTo(buffer);               // a part of a line, much shorter than the buffer
                filled -= used;
            }
        }
        finally
        {
            await stream.DisposeAsync().ConfigureAwait(false);
            ArrayPool<byte>.Shared.Return(buffer);
        }
    }

    /// <summary>A line begins.</summary>
    protected void NextLine()
    {
        _line++;
        if (LongestNs < long.MaxValue && _line > MostLines) _enough = true;
    }

    /// <summary>True when the line with this stamp, and all that follow, are beyond what is to be looked at.</summary>
    protected bool IsBeyond(long stampNs)
    {
        _firstNs ??= stampNs;
        if (stampNs - _firstNs.Value > LongestNs) _enough = true;
        return _enough;
    }

    /// <summary>Takes note of the first damaged line.</summary>
    protected void Damaged(ReadOnlySpan<byte> line, int at, string fault) => FirstProblem ??= CanRun.Problem(File, _line, line, at, fault);

    /// <inheritdoc/>
    protected override void Overlong(ReadOnlySpan<byte> beginning)
    {
        NextLine();
        Damaged(beginning[..Math.Min(beginning.Length, 80)], 0, CanFaults.TooLong);
    }
}
