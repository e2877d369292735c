namespace OilWatch.Reading.Can;

/// <summary>Logs of the lines that serial CAN adapters send (SLCAN), with the adapter's time stamps on.</summary>
internal static class SlcanFormat
{
    /// <summary>True when these first bytes of a file are those of an SLCAN log: most of its lines are whole frames.</summary>
    public static bool Recognise(ReadOnlySpan<byte> firstBytes)
    {
        Span<byte> data = stackalloc byte[CanFrame.ClassicBytes];
        int frames = 0, other = 0;
        while (!firstBytes.IsEmpty)
        {
            int end = SlcanHandler.IndexOfEnd(firstBytes);
            ReadOnlySpan<byte> line = end < 0 ? firstBytes : firstBytes[..end];
            firstBytes = end < 0 ? [] : firstBytes[(end + 1)..];
            if (line.IsEmpty) continue;
            CanLineKind kind = SlcanParser.Parse(line, data).Kind;
            if (kind is CanLineKind.Frame or CanLineKind.Remote) frames++;
            else if (kind is CanLineKind.Damaged && end >= 0) other++;           // the last line may be cut
        }
        return frames > 0 && frames > other;
    }

    /// <summary>Opens a log.</summary>
    /// <param name="source">Its bytes, decompressed.</param>
    /// <param name="options">The databases.</param>
    /// <param name="cancellationToken">Stops between two blocks of bytes.</param>
    /// <exception cref="InputException">A database cannot be used; no frame can be read; there is no time; nothing in the log is known.</exception>
    public static async ValueTask<ILogReader> OpenAsync(LogSource source, ReaderOptions options, CancellationToken cancellationToken)
    {
        IReadOnlyList<CanDatabase> databases = await CanLogOpener.LoadDatabasesAsync(options, cancellationToken).ConfigureAwait(false);
        (_, CanCatalog catalog) = await CanLogOpener.SurveyAsync(
            source, databases, options.AsLive, static (file, longestNs) => new SlcanSurveyor(file) { LongestNs = longestNs }, found => CheckTime(source.Name, found), cancellationToken).ConfigureAwait(false);
        List<string> assumptions =
        [
            "Time stamps are the adapter's milliseconds, which start again every minute: a gap of a minute or more looks shorter than it was.",
            .. CanLogOpener.Describe(databases),
            .. catalog.Notes,
        ];
        return new CanLogReader(source, "SLCAN log", catalog, databases, assumptions, options.AsLive, static run => new SlcanHandler(run));
    }

    private static void CheckTime(string file, SlcanSurveyor surveyor)
    {
        if (surveyor.Stamped > 0) return;
        throw surveyor.Unstamped == 0
            ? CanLogOpener.NoFrames(file, surveyor)
            : new InputException(new ReadingProblem(file, 0, 0,
                "the frames have no time stamps, so nothing can be said about when; turn the adapter's time stamps on (command Z1), or record with candump -L"));
    }
}
