using System.Buffers;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace OilWatch.Console.Files;

/// <summary>Names of the sub-folders in which several logs get their results.</summary>
internal static class FolderNames
{
    private const int MaxLength = 100;

    // Not allowed in names on one system or another, or misread by a shell.
    private static readonly SearchValues<char> Unsafe = SearchValues.Create("/\\:*?\"<>|%!`$&;'");

    private static readonly ImmutableArray<string> DeviceNames = ["con", "prn", "aux", "nul", "com", "lpt"];

    /// <summary>A name for each log, in order; those that would clash, in any letter case, get -2, -3, ...</summary>
    public static ImmutableArray<string> For(IEnumerable<string> logs)
    {
        var taken = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        return [.. logs.Select(log => Free(Safe(Path.GetFileName(log)), taken))];
    }

    private static string Free(string name, HashSet<string> taken)
    {
        string free = name;
        for (int number = 2; !taken.Add(free); number++) free = string.Create(CultureInfo.InvariantCulture, $"{name}-{number}");
        return free;
    }

    /// <summary>The log's name without its extension (and without .gz before that), safe as the name of a folder.</summary>
    internal static string Safe(string logName)
    {
        string bare = logName.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? logName[..^3] : logName;
        string name = string.Concat(Path.GetFileNameWithoutExtension(bare).EnumerateRunes().Take(MaxLength).Select(Harmless));
        name = name.Trim('.', ' ').TrimStart('-');
        if (name.Length == 0) return "log";
        bool device = DeviceNames.Any(device => IsDevice(name, device));
        return device ? "_" + name : name;
    }

    private static string Harmless(Rune rune) =>
        (rune.IsBmp && Unsafe.Contains((char)rune.Value))
        || Rune.GetUnicodeCategory(rune) is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.PrivateUse
            or UnicodeCategory.OtherNotAssigned or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
        || rune == Rune.ReplacementChar
            ? "_"
            : rune.ToString();

    /// <summary>True for CON, NUL, COM1 and their like, which name devices on Windows whatever follows a dot.</summary>
    private static bool IsDevice(string name, string device)
    {
        string stem = name.Split('.')[0].TrimEnd();
        return stem.StartsWith(device, StringComparison.OrdinalIgnoreCase)
            && (stem.Length == device.Length || (stem.Length == device.Length + 1 && char.IsAsciiDigit(stem[^1])));
    }
}
