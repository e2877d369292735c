using System.Collections.Immutable;

namespace OilWatch.Console.Files;

/// <summary>A folder named in the place of a log stands for the logs in it.</summary>
internal static class LogFolders
{
    private static readonly ImmutableArray<string> Endings = [".csv", ".tsv", ".txt", ".log", ".slcan", ".owr"];

    /// <summary>The logs, with each folder replaced by the log files directly in it, in order of their names. A folder without any stays, to be reported.</summary>
    public static ImmutableArray<string> Opened(IEnumerable<string> logs) => [.. logs.SelectMany(log => In(log) is { Length: > 0 } found ? found : [log])];

    private static string[] In(string folder)
    {
        try
        {
            return Directory.Exists(folder) ? [.. Directory.EnumerateFiles(folder).Where(IsLog).Order(StringComparer.Ordinal)] : [];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return [];                                      // reading it says why
        }
    }

    /// <summary>By its name: the formats of logs with or without .gz; hidden files are none.</summary>
    private static bool IsLog(string path)
    {
        string name = Path.GetFileName(path);
        string bare = name.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? name[..^3] : name;
        return !name.StartsWith('.') && !RecordingParts.IsLater(name) && Endings.Any(ending => bare.EndsWith(ending, StringComparison.OrdinalIgnoreCase));
    }
}
