using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Console.Verbs;

/// <summary>What <c>replay</c> was asked to do.</summary>
internal sealed record ReplaySettings
{
    /// <summary>Paths of the logs, one or more.</summary>
    public required ImmutableArray<string> Logs { get; init; }

    /// <summary>Path of the car file, or null.</summary>
    public string? Car { get; init; }

    /// <summary>The folder for results, or null to show the answer only.</summary>
    public string? Out { get; init; }

    /// <summary>CAN databases named on the command line.</summary>
    public ImmutableArray<string> CanDatabases { get; init; } = [];

    /// <summary>Judge as the pit saw it.</summary>
    public bool AsLive { get; init; }

    /// <summary>Path of an earlier log of the same engine in good health, or null.</summary>
    public string? Reference { get; init; }

    /// <summary>The severity from which the exit code is 10, or null.</summary>
    public Severity? FailOn { get; init; }

    /// <summary>How to answer.</summary>
    public AnswerSettings Answer { get; init; } = new();
}
