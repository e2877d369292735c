using System.Globalization;
using OilWatch.Live.Recording;

namespace OilWatch.Console.Files;

/// <summary>A recording may have several files, numbered at the end of their names: <c>...-0001.owr</c>, <c>...-0002.owr</c>. The first stands for all.</summary>
internal static class RecordingParts
{
    private const int Digits = 4;
    private const int MostParts = 9999;

    /// <summary>The file, and where it is the first of a recording those that follow.</summary>
    public static string[] Of(string path)
    {
        if (NumberOf(path) is not 1) return [path];
        string stem = path[..^(Digits + Recorder.FileEnding.Length)];
        var parts = new List<string> { path };
        for (int part = 2; part <= MostParts; part++)
        {
            string next = string.Create(CultureInfo.InvariantCulture, $"{stem}{part:D4}{Recorder.FileEnding}");
            if (!File.Exists(next)) break;
            parts.Add(next);
        }
        return [.. parts];
    }

    /// <summary>True for the second file of a recording and those after it.</summary>
    public static bool IsLater(string name) => NumberOf(name) is > 1;

    private static int? NumberOf(string path)
    {
        if (!path.EndsWith(Recorder.FileEnding, StringComparison.Ordinal)) return null;
        string stem = path[..^Recorder.FileEnding.Length];
        return stem.Length > Digits && stem[^(Digits + 1)] == '-' && int.TryParse(stem[^Digits..], NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? number : null;
    }
}
