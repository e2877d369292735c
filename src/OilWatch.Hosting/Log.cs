using Microsoft.Extensions.Logging;

namespace OilWatch.Hosting;

/// <summary>What is logged. Text of logs and sensors is a value, never part of the template.</summary>
internal static partial class Log
{
    [LoggerMessage(1, LogLevel.Information, "{Notice}")]
    public static partial void News(ILogger log, string notice);

    [LoggerMessage(2, LogLevel.Warning, "{Notice}")]
    public static partial void Trouble(ILogger log, string notice);

    [LoggerMessage(3, LogLevel.Warning, "{Phase} {Severity}, alert {Id}, {Kind}: {Message}")]
    public static partial void Alert(ILogger log, string phase, string severity, int id, string kind, string message);

    [LoggerMessage(4, LogLevel.Error, "the watch failed: {Reason}")]
    public static partial void Failed(ILogger log, string reason);

    [LoggerMessage(5, LogLevel.Error, "the results could not be written: {Reason}")]
    public static partial void NotWritten(ILogger log, string reason);

    [LoggerMessage(6, LogLevel.Error, "a subscriber to {Kind} threw and is left out from now on")]
    public static partial void SubscriberFailed(ILogger log, string kind, Exception error);

    [LoggerMessage(7, LogLevel.Warning, "subscribers are too slow: the oldest of what they wait for is left out")]
    public static partial void FeedOverrun(ILogger log);

    [LoggerMessage(8, LogLevel.Information, "the watch is over: {Verdict}; {Headline}")]
    public static partial void Over(ILogger log, string verdict, string headline);

    [LoggerMessage(9, LogLevel.Warning, "the analysis makes no progress; the watchdog is not told that all is well")]
    public static partial void Stuck(ILogger log);
}
