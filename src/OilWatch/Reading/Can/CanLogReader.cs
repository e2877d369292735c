using OilWatch.Channels;

namespace OilWatch.Reading.Can;

/// <summary>A log of CAN frames in a text form.</summary>
/// <param name="source">The log.</param>
/// <param name="formatName">The form in words.</param>
/// <param name="catalog">Its channels.</param>
/// <param name="databases">The databases, whose problems each report repeats.</param>
/// <param name="assumptions">What was assumed, a sentence each.</param>
/// <param name="asLive">True where it is looked at as it comes.</param>
/// <param name="newHandler">Makes the reader of the form for one pass.</param>
internal sealed class CanLogReader(
    LogSource source,
    string formatName,
    CanCatalog catalog,
    IReadOnlyList<CanDatabase> databases,
    IReadOnlyList<string> assumptions,
    bool asLive,
    Func<CanRun, CanLines> newHandler) : ILogReader
{
    /// <inheritdoc/>
    public string Name => source.Name;

    /// <inheritdoc/>
    public string FormatName => formatName;

    /// <inheritdoc/>
    public IReadOnlyList<LogChannel> Channels => catalog.Channels;

    /// <inheritdoc/>
    public IReadOnlyList<string> Assumptions => assumptions;

    /// <inheritdoc/>
    public async ValueTask<ReadingReport> ReadAsync(
        IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(selected);
        ArgumentNullException.ThrowIfNull(sink);
        var run = new CanRun(Name, new CanDecoder(catalog, selected), sink);
        Stream stream = source.Open();
        if (!asLive) stream = new AheadStream(stream);
        await using (stream.ConfigureAwait(false))
        {
            long bytes = await RecordPump.PumpAsync(stream, newHandler(run), cancellationToken).ConfigureAwait(false);
            return run.Report(bytes, databases);
        }
    }
}
