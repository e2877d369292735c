namespace OilWatch.Tests.Architecture;

/// <summary>Finds files of the repository from where the tests run.</summary>
internal static class RepositoryFolder
{
    /// <summary>The path of a file or folder, its parts from the repository's root on.</summary>
    public static string PathOf(params string[] parts)
    {
        for (DirectoryInfo? up = new(AppContext.BaseDirectory); up is not null; up = up.Parent)
        {
            string path = Path.Combine([up.FullName, .. parts]);
            if (File.Exists(Path.Combine(up.FullName, "OilWatch.sln"))) return path;
        }

        throw new DirectoryNotFoundException("OilWatch.sln is expected above " + AppContext.BaseDirectory);
    }
}
