namespace OilWatch.Cars;

/// <summary>Paths that a car file may name: beside or below itself, the same on every system.</summary>
internal static class CarPath
{
    private const int Longest = 260;

    /// <summary>What is wrong with a path, or null when it may be used.</summary>
    public static string? Problem(string path)
    {
        if (string.IsNullOrWhiteSpace(path)) return "is empty";
        if (path.Length > Longest) return "is longer than 260 characters";
        if (path.AsSpan().IndexOfAnyInRange('\0', '\u001F') >= 0) return "has a control character in it";
        // A colon is a drive, an address or a stream on one system or another.
        if (path[0] is '/' or '\\' or '~' || path.Contains(':', StringComparison.Ordinal)) return "must be relative to the car file";
        foreach (string part in path.Split('/', '\\'))
        {
            if (part.Trim() is "..") return "must stay beside or below the car file, without '..'";
        }
        return null;
    }
}
