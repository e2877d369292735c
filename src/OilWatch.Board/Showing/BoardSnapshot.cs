using System.Collections.Immutable;

namespace OilWatch.Board.Showing;

/// <summary>All that is shown at one moment.</summary>
/// <remarks>
/// Pages have no queues: each remembers the step that it has seen, and when it is ready it is sent the parts that are newer. A page that is slow, or comes
/// back, gets the latest; what waits for it does not grow.
/// </remarks>
internal sealed class BoardSnapshot(long version, ImmutableArray<BoardPart> parts, bool isFinal)
{
    private readonly TaskCompletionSource _outdated = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>The step, counted from 1.</summary>
    public long Version { get; } = version;

    /// <summary>Every part.</summary>
    public ImmutableArray<BoardPart> Parts { get; } = parts;

    /// <summary>True when nothing follows.</summary>
    public bool IsFinal { get; } = isFinal;

    /// <summary>Done when there is a later one.</summary>
    /// <remarks>It does not lead there: whoever holds on to an old moment does not hold all that came after it.</remarks>
    public Task Outdated => _outdated.Task;

    /// <summary>Says that there is a later one.</summary>
    public void Outdate() => _outdated.TrySetResult();

    /// <summary>The event that takes a page from a step to this one.</summary>
    /// <param name="seen">The step that the page has seen; 0 for nothing.</param>
    public byte[] EventSince(long seen)
    {
        using var text = new MemoryStream(256);
        text.Write(System.Text.Encoding.ASCII.GetBytes(FormattableString.Invariant($"id: {Version}\ndata: {{\"version\":{Version}")));
        foreach (BoardPart part in Parts)
        {
            if (part.Version <= seen) continue;
            text.WriteByte((byte)',');
            text.Write(part.Json);
        }
        text.Write("}\n\n"u8);
        return text.ToArray();
    }
}
