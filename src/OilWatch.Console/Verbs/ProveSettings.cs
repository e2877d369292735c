using System.Collections.Immutable;

namespace OilWatch.Console.Verbs;

/// <summary>What <c>prove</c> was asked to do.</summary>
internal sealed record ProveSettings
{
    /// <summary>Name and logs of each group, two or more; the others are held against the first.</summary>
    public required ImmutableArray<(string Name, ImmutableArray<string> Logs)> Groups { get; init; }

    /// <summary>True when the groups were named one by one.</summary>
    public bool Named { get; init; }

    /// <summary>Path of the car file, or null.</summary>
    public string? Car { get; init; }

    /// <summary>The folder for results, or null to show the answer only.</summary>
    public string? Out { get; init; }

    /// <summary>CAN databases named on the command line.</summary>
    public ImmutableArray<string> CanDatabases { get; init; } = [];

    /// <summary>How to answer.</summary>
    public AnswerSettings Answer { get; init; } = new();

    /// <summary>The groups that the options name.</summary>
    /// <exception cref="UsageException">They do not make two groups.</exception>
    public static ImmutableArray<(string Name, ImmutableArray<string> Logs)> GroupsOf(string[]? before, string[]? after, string[]? named)
    {
        if (named is not { Length: > 0 })
        {
            if (before is not { Length: > 0 } || after is not { Length: > 0 })
                throw new UsageException("prove needs --before LOG... and --after LOG..., or two or more --group NAME=LOG...; see 'oilwatch prove --help'");
            return [("before", [.. before]), ("after", [.. after])];
        }
        if (before is { Length: > 0 } || after is { Length: > 0 })
            throw new UsageException("--group does not go with --before and --after; name every group, the one to compare with first");
        var groups = new List<(string Name, List<string> Logs)>();
        foreach (string word in named)
        {
            int at = word.IndexOf('=', StringComparison.Ordinal);
            if (at > 0 && at < word.Length - 1)
            {
                string name = word[..at];
                int known = groups.FindIndex(group => string.Equals(group.Name, name, StringComparison.Ordinal));
                if (known < 0) groups.Add((name, [word[(at + 1)..]]));
                else groups[known].Logs.Add(word[(at + 1)..]);
            }
            else if (groups.Count > 0) groups[^1].Logs.Add(word);
            else throw new UsageException($"--group {word}: a name and a log are needed, such as --group baffle=monday.csv");
        }
        if (groups.Count < 2) throw new UsageException("prove needs two groups or more; name another with --group NAME=LOG");
        return [.. groups.Select(group => (group.Name, group.Logs.ToImmutableArray()))];
    }
}
