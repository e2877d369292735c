using System.Collections.Immutable;
using OilWatch.Reading.Can;
using OilWatch.Reading.Nmea;
using OilWatch.Reading.Recording;

namespace OilWatch.Reading;

/// <summary>Opens a log whatever its format.</summary>
public static class LogFile
{
    /// <summary>How many bytes, after unpacking, decide about the format.</summary>
    private const int HeadBytes = 64 * 1024;

    /// <summary>A CAN log shows itself within this many already: a slow stream is not kept waiting for the rest.</summary>
    private const int FirstLookBytes = 2 * 1024;

    /// <summary>The formats, the most particular first: each is asked only when those above it have said no.</summary>
    private static readonly ImmutableArray<Format> Formats =
    [
        new(RecordingFormat.Recognise, RecordingFormat.OpenAsync),
        new(CanTextFormat.Recognise, CanTextFormat.OpenAsync),
        new(SlcanFormat.Recognise, SlcanFormat.OpenAsync),
        new(CsvReader.Recognise, CsvReader.OpenAsync),
    ];

    private delegate bool Recognise(ReadOnlySpan<byte> firstBytes);

    private delegate ValueTask<ILogReader> Open(LogSource decoded, ReaderOptions options, CancellationToken cancellationToken);

    /// <summary>Recognises the format by its first bytes and opens the reader for it.</summary>
    /// <remarks>gzip is unpacked and UTF-16 converted on the way, whatever the file's name says.</remarks>
    /// <param name="source">The log; opened twice or more, each time from the beginning.</param>
    /// <param name="options">What a reader may need beside it.</param>
    /// <param name="cancellationToken">Stops the opening.</param>
    /// <exception cref="InputException">The input is empty, cannot be read, is no log, or a CAN database or the file of positions beside it cannot be used.</exception>
    public static async ValueTask<ILogReader> OpenAsync(
        LogSource source, ReaderOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(source);
        ILogReader reader = await OpenAloneAsync(source, options, cancellationToken).ConfigureAwait(false);
        return options is { Positions: { } positions, IsInRecording: false } ? PositionedLog.Open(reader, positions) : reader;
    }

    private static ValueTask<ILogReader> OpenAloneAsync(LogSource source, ReaderOptions? options, CancellationToken cancellationToken)
    {
        LogSource decoded = LogBytes.Decoded(source);
        byte[] head = Head(decoded);
        foreach (Format format in Formats)
            if (format.Recognise(head)) return format.Open(decoded, options ?? ReaderOptions.Default, cancellationToken);
        throw new InputException(new ReadingProblem(source.Name, 0, 0, ForeignBytes.Describe(head)));
    }

    private static byte[] Head(LogSource decoded)
    {
        try
        {
            using Stream stream = decoded.Open();
            byte[] head = LogBytes.Head(stream, FirstLookBytes);
            if (!RecordingFormat.Recognise(head) && !CanTextFormat.Recognise(head) && !SlcanFormat.Recognise(head)) head = [.. head, .. LogBytes.Head(stream, HeadBytes - head.Length)];
            if (head.Length == 0 && stream is DecodedStream { Damage: { } damage })
                throw new InputException(new ReadingProblem(decoded.Name, 0, 0, damage));
            return head;
        }
        catch (IOException error)
        {
            throw LogBytes.CannotRead(decoded.Name, error);
        }
    }

    private sealed record Format(Recognise Recognise, Open Open);
}
