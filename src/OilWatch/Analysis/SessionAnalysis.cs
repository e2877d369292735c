using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Analysis;

/// <summary>Bytes to results: the whole way for one log.</summary>
public static class SessionAnalysis
{
    /// <summary>Analyses one log.</summary>
    /// <exception cref="InputException">Nothing could be read; the message says what and why.</exception>
    public static ValueTask<SessionResult> RunAsync(
        LogSource log, AnalysisRequest? request = null, CancellationToken cancellationToken = default) =>
        throw new InputException(new ReadingProblem(log.Name, 0, 0, "no analysis yet"));
}
