namespace OilWatch.Live;

/// <summary>A source of bytes: lines of CAN frames, or of a table, as they come.</summary>
public interface ILiveSource
{
    /// <summary>What it is called in messages, such as <c>tcp:192.0.2.1:29536</c>.</summary>
    string Name { get; }

    /// <summary>Reads until the source is over or <paramref name="stop"/> is set. Called once, on a thread of its own, and blocks it.</summary>
    /// <param name="inlet">Takes the bytes.</param>
    /// <param name="stop">Ends it; a source that waits for bytes is woken.</param>
    /// <exception cref="IOException">The source cannot be used at all; the message says what would be right.</exception>
    void Run(ILiveInlet inlet, CancellationToken stop);
}
