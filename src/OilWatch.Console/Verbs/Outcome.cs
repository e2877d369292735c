using System.Collections.Immutable;
using OilWatch.Report;

namespace OilWatch.Console.Verbs;

/// <summary>What came of one log.</summary>
internal sealed record Outcome
{
    /// <summary>True when the log was read to its end.</summary>
    public bool Read { get; init; }

    /// <summary>True when the run was interrupted before the log was done.</summary>
    public bool Interrupted { get; init; }

    /// <summary>True when its results could not be written.</summary>
    public bool NotWritten { get; init; }

    /// <summary>True when an alert as severe as asked about was raised.</summary>
    public bool Alarming { get; init; }

    /// <summary>The log's row on the index page, or null when it has none.</summary>
    public IndexRow? Row { get; init; }

    /// <summary>What goes to standard output, newlines included.</summary>
    public string Answer { get; init; } = "";

    /// <summary>What goes to standard error, a line each.</summary>
    public ImmutableArray<string> Problems { get; init; } = [];

    /// <summary>The exit code for all logs together: the first that holds of interrupted, not written, nothing read, alarming, partly read, done.</summary>
    public static int ExitCode(IReadOnlyCollection<Outcome> outcomes)
    {
        if (outcomes.Any(outcome => outcome.Interrupted)) return ExitCodes.Interrupted;
        if (outcomes.Any(outcome => outcome.NotWritten)) return ExitCodes.Usage;
        if (!outcomes.Any(outcome => outcome.Read)) return ExitCodes.NothingRead;
        if (outcomes.Any(outcome => outcome.Alarming)) return ExitCodes.AlertRaised;   // an engine at risk outranks a log not read
        return outcomes.All(outcome => outcome.Read) ? ExitCodes.Done : ExitCodes.PartlyRead;
    }
}
