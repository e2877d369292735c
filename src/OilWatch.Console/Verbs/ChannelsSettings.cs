using System.Collections.Immutable;

namespace OilWatch.Console.Verbs;

/// <summary>What <c>channels</c> was asked to do.</summary>
internal sealed record ChannelsSettings
{
    /// <summary>Paths of the logs; none with <see cref="Limits"/>.</summary>
    public required ImmutableArray<string> Logs { get; init; }

    /// <summary>Path of the car file, or null.</summary>
    public string? Car { get; init; }

    /// <summary>CAN databases named on the command line.</summary>
    public ImmutableArray<string> CanDatabases { get; init; } = [];

    /// <summary>List every threshold.</summary>
    public bool Limits { get; init; }

    /// <summary>How to answer.</summary>
    public AnswerSettings Answer { get; init; } = new();
}
