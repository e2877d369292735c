using OilWatch.Channels;

namespace OilWatch.Reading;

/// <summary>Reads one log: what channels it offers, then the readings of those that are selected.</summary>
/// <remarks>
/// A reader is opened by <see cref="LogFile.OpenAsync"/>, which recognises the format; <see cref="Channels"/> is known from then on.
/// <see cref="ReadAsync"/> may be called again and starts from the beginning each time.
/// </remarks>
public interface ILogReader
{
    /// <summary>The file's name for messages, without its folder.</summary>
    string Name { get; }

    /// <summary>What kind of log it is, in words: <c>CSV</c>, <c>CAN text log</c>, ...</summary>
    string FormatName { get; }

    /// <summary>All channels the log offers.</summary>
    IReadOnlyList<LogChannel> Channels { get; }

    /// <summary>Sentences about what was assumed while opening (separator, time format, encoding), for people.</summary>
    IReadOnlyList<string> Assumptions { get; }

    /// <summary>Reads the whole log, giving the values of the selected channels to <paramref name="sink"/>.</summary>
    /// <param name="selected">Indices of the channels wanted; everything else is skipped as early as can be.</param>
    /// <param name="sink">Takes the values.</param>
    /// <param name="cancellationToken">Stops between two blocks of bytes.</param>
    /// <returns>What was read and what could not be.</returns>
    ValueTask<ReadingReport> ReadAsync(
        IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default);
}
