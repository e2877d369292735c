namespace OilWatch.Console.Files;

/// <summary>Sees to it that no file that is read is replaced by a result of the same name.</summary>
internal static class SparedFiles
{
    private const int MostLinks = 40;

    /// <summary>Refuses to write over what is read.</summary>
    /// <param name="results">Every file that will be written.</param>
    /// <param name="inputs">Every file that is read.</param>
    /// <exception cref="UsageException">Some of them are the same; each is named.</exception>
    public static void Check(IEnumerable<string> results, IEnumerable<string> inputs)
    {
        // Letter case is ignored everywhere: on some systems laps.csv and Laps.CSV are one file.
        HashSet<string> targets = new(results.Select(Real), StringComparer.OrdinalIgnoreCase);
        string[] problems =
        [
            .. inputs.Where(input => targets.Contains(Real(input))).Distinct(StringComparer.Ordinal)
                .Select(input => $"{input}: would be replaced by the results of the same name; choose another --out"),
        ];
        if (problems.Length > 0) throw new UsageException(problems);
    }

    /// <summary>The full path with every symbolic link on it followed, so that one file has one name.</summary>
    private static string Real(string path)
    {
        string full = Path.GetFullPath(path);
        for (int links = 0; links < MostLinks; links++)
        {
            if (Followed(full) is not { } next) return full;
            full = next;
        }
        return full;
    }

    /// <summary>The path with the first link on it followed, or null when there is none.</summary>
    private static string? Followed(string full)
    {
        try
        {
            for (string? part = full; part is not null; part = Path.GetDirectoryName(part))
            {
                if (new FileInfo(part).LinkTarget is not { } target) continue;
                string to = Path.GetFullPath(target, Path.GetDirectoryName(part) ?? part);
                return Path.Join(to, full[part.Length..]);
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // What cannot be looked at is compared by its name.
        }
        return null;
    }
}
