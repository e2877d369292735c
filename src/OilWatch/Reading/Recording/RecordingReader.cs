using OilWatch.Channels;

namespace OilWatch.Reading.Recording;

/// <summary>A recording, read as the log that its source would have been; its report says what was left out of it.</summary>
internal sealed class RecordingReader(ILogReader inner, RecordingSource recording, string source, int databases) : ILogReader
{
    /// <inheritdoc/>
    public string Name => inner.Name;

    /// <inheritdoc/>
    public string FormatName => $"recording of a {inner.FormatName}";

    /// <inheritdoc/>
    public IReadOnlyList<LogChannel> Channels => inner.Channels;

    /// <inheritdoc/>
    public IReadOnlyList<string> Assumptions { get; } =
    [
        FormattableString.Invariant($"An OilWatch recording of {source}, with {databases} CAN database{(databases == 1 ? "" : "s")} in it."),
        .. inner.Assumptions,
    ];

    /// <inheritdoc/>
    public async ValueTask<ReadingReport> ReadAsync(
        IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default)
    {
        ReadingReport report = await inner.ReadAsync(selected, sink, cancellationToken).ConfigureAwait(false);
        ReadingProblem[] leftOut = [.. recording.LeftOut().Select(text => new ReadingProblem(Name, 0, 0, text))];
        return report with { Problems = [.. leftOut, .. report.Problems], ProblemCount = report.ProblemCount + leftOut.Length };
    }
}
