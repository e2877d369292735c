using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Live;

/// <summary>A log whose records are followed on their way to the analysis.</summary>
/// <param name="inner">The log.</param>
/// <param name="wrap">Puts itself between the log and the analysis.</param>
internal sealed class FollowedReader(ILogReader inner, Func<IReadingSink, IReadingSink> wrap) : ILogReader
{
    public string Name => inner.Name;

    public string FormatName => inner.FormatName;

    public IReadOnlyList<LogChannel> Channels => inner.Channels;

    public IReadOnlyList<string> Assumptions => inner.Assumptions;

    public ValueTask<ReadingReport> ReadAsync(
        IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default) =>
        inner.ReadAsync(selected, wrap(sink), cancellationToken);
}
