using System.Collections.Immutable;
using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Live;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Console;

/// <summary>What the verbs need of the library, so that each can be tried with results of a test's own.</summary>
internal sealed record Parts
{
    /// <summary>Analyses one log.</summary>
    public required Func<LogSource, AnalysisRequest, CancellationToken, ValueTask<SessionResult>> Analyse { get; init; }

    /// <summary>Judges a stream as it comes.</summary>
    public Func<ILiveSource, LiveRequest, CancellationToken, Task<SessionResult>> Watch { get; init; } = LiveWatch.RunAsync;

    /// <summary>Plays a log as if it came now, so many times as fast as it was.</summary>
    public Func<LogSource, double, LiveRequest, CancellationToken, Task<SessionResult>> Play { get; init; } = LiveWatch.PlayAsync;

    /// <summary>Opens one log.</summary>
    public required Func<LogSource, ReaderOptions, CancellationToken, ValueTask<ILogReader>> OpenLog { get; init; }

    /// <summary>Reads a car file: its bytes, its name for messages.</summary>
    public required Func<byte[], string, (AnalysisOptions Options, ImmutableArray<ReadingProblem> Problems)> ParseCar { get; init; }

    /// <summary>Gives channels their roles: the log's channels, what each one's values look like, the car.</summary>
    public required Func<IReadOnlyList<LogChannel>, Func<int, ChannelSample>, CarSettings, ChannelPlan> FindRoles { get; init; }

    /// <summary>What it costs when no channel fills a role, a sentence.</summary>
    public required Func<Role, string> RoleCost { get; init; }

    /// <summary>Every threshold with its value in these options.</summary>
    public required Func<AnalysisOptions, IEnumerable<LimitListing>> Limits { get; init; }
}
