using System.Globalization;
using OilWatch.Synthesiser.Scenarios;

namespace OilWatch.Synthesiser;

/// <summary>What the command line asks for.</summary>
/// <param name="Scenarios">Scenarios to make.</param>
/// <param name="FirstSeed">First seed.</param>
/// <param name="LastSeed">Last seed.</param>
/// <param name="Folder">Where to write.</param>
public sealed record CommandLine(IReadOnlyList<string> Scenarios, ulong FirstSeed, ulong LastSeed, string Folder)
{
    private const ulong MostRuns = 10_000;

    /// <summary>How to call the program.</summary>
    public const string Usage =
        """
        OilWatch.Synthesiser --scenario NAME --out FOLDER [--seed N] [--laps N] [--rate HZ] [--format csv|can|both]
        OilWatch.Synthesiser --all FOLDER [--seeds A..B] [--laps N] [--rate HZ] [--format csv|can|both]
        OilWatch.Synthesiser --example FOLDER     the shipped example: before and after a dry sump
        OilWatch.Synthesiser --list               the scenarios
        """;

    /// <summary>True to list the scenarios only.</summary>
    public bool ListOnly { get; private init; }

    /// <summary>True for the shipped example.</summary>
    public bool Example { get; private init; }

    /// <summary>True to give each run a folder of its own.</summary>
    public bool EachInItsFolder { get; private init; }

    /// <summary>True to write CSV logs.</summary>
    public bool Csv { get; private init; } = true;

    /// <summary>True to write CAN logs.</summary>
    public bool Can { get; private init; } = true;

    /// <summary>Timed laps.</summary>
    public int Laps { get; private init; } = 4;

    /// <summary>Sampling rate, Hz; null for the scenario's own.</summary>
    public double? RateHz { get; private init; }

    /// <summary>Reads the arguments; a problem in words, or null.</summary>
    public static string? Read(string[] arguments, out CommandLine line)
    {
        line = new CommandLine([], 1, 1, "");
        bool laps = true;
        for (int i = 0; i < arguments.Length; i++)
        {
            string option = arguments[i];
            if (option is "--list")
            {
                line = line with { ListOnly = true };
                continue;
            }

            if (i + 1 == arguments.Length) return $"{option} needs a value, or is not an option";
            string value = arguments[++i];
            switch (option)
            {
                case "--scenario" when AllScenarios.List.Any(s => string.Equals(s.Name, value, StringComparison.Ordinal)):
                    line = line with { Scenarios = [value] };
                    break;
                case "--scenario": return $"there is no scenario '{value}'; --list shows them";
                case "--out": line = line with { Folder = value }; break;
                case "--example": line = line with { Folder = value, Example = true }; break;
                case "--all":
                    line = line with { Folder = value, EachInItsFolder = true, Scenarios = [.. AllScenarios.List.Select(s => s.Name)] };
                    break;
                case "--seed" when ulong.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out ulong seed):
                    line = line with { FirstSeed = seed, LastSeed = seed };
                    break;
                case "--seeds" when TryRange(value, out ulong first, out ulong last):
                    line = line with { FirstSeed = first, LastSeed = last };
                    break;
                case "--laps" when int.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out int count):
                    laps = count is >= 1 and <= 200;
                    line = line with { Laps = count };
                    break;
                case "--rate" when double.TryParse(value, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double rate) && rate is >= 5 and <= 200:
                    line = line with { RateHz = rate };
                    break;
                case "--format" when value is "csv" or "can" or "both":
                    line = line with { Csv = value is not "can", Can = value is not "csv" };
                    break;
                default: return $"{option} {value} is not understood";
            }
        }

        if (!laps) return "--laps takes 1 to 200";
        if (line.ListOnly || line.Example) return null;
        return line.Scenarios.Count == 0 ? "name a scenario with --scenario, or all with --all" : line.Folder.Length == 0 ? "name a folder with --out" : null;
    }

    private static bool TryRange(string text, out ulong first, out ulong last)
    {
        last = 0;
        int dots = text.IndexOf("..", StringComparison.Ordinal);
        return ulong.TryParse(dots < 0 ? text : text.AsSpan(0, dots), NumberStyles.None, CultureInfo.InvariantCulture, out first)
            && ulong.TryParse(dots < 0 ? text : text.AsSpan(dots + 2), NumberStyles.None, CultureInfo.InvariantCulture, out last)
            && last >= first && last - first < MostRuns;
    }
}
