using System.Collections.Immutable;

namespace OilWatch.Reading.Recording;

/// <summary>Recordings that <c>oilwatch watch</c> writes: the bytes of the source in blocks, with the databases to read them by.</summary>
internal static class RecordingFormat
{
    /// <summary>True when the bytes begin as a recording does.</summary>
    public static bool Recognise(ReadOnlySpan<byte> firstBytes) => firstBytes.StartsWith(RecordingBlock.Mark);

    /// <summary>Opens a recording as the log that its source would have been.</summary>
    /// <param name="source">Its bytes.</param>
    /// <param name="options">Databases given here go in place of those in the recording.</param>
    /// <param name="cancellationToken">Stops the opening.</param>
    /// <exception cref="InputException">Nothing of the source is in it, or what is in it is no log.</exception>
    public static async ValueTask<ILogReader> OpenAsync(LogSource source, ReaderOptions options, CancellationToken cancellationToken)
    {
        if (options.IsInRecording) throw new InputException(new ReadingProblem(source.Name, 0, 0, "a recording in a recording; give the inner one"));
        var recording = new RecordingSource(source);
        RecordingStream start = recording.Open();
        await using (start.ConfigureAwait(false))
        {
            start.ReadStart();
            if (start.Read(stackalloc byte[1]) == 0)
                throw new InputException(new ReadingProblem(source.Name, 0, 0, "a recording without any data: nothing came from the source before it ended"));
        }
        ImmutableArray<LogSource> databases = options.CanDatabases.IsEmpty
            ? [.. start.Databases.Select(database => Database(database.Name, database.Bytes.ToArray()))]
            : options.CanDatabases;
        ILogReader inner = await LogFile.OpenAsync(
            new LogSource(source.Name, recording.Open), options with { CanDatabases = databases, IsInRecording = true }, cancellationToken).ConfigureAwait(false);
        return new RecordingReader(inner, recording, start.Source ?? "an unknown source", start.Databases.Count);
    }

    private static LogSource Database(string name, byte[] bytes) => new(name, () => new MemoryStream(bytes, writable: false));
}
