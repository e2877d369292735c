using OilWatch.Results;

namespace OilWatch.Hosting;

/// <summary>Where the results go: every file under another name first, so that none is half written under its own.</summary>
internal static class ResultsFolder
{
    /// <summary>Makes the folder and sees that it can be written to.</summary>
    /// <exception cref="IOException">It cannot be used.</exception>
    public static void Prepare(string folder)
    {
        Directory.CreateDirectory(folder);
        string trial = Beside(folder, "trial");
        File.Create(trial).Dispose();
        File.Delete(trial);
    }

    /// <summary>Writes all files.</summary>
    /// <exception cref="IOException">They could not be written; none of them is half written.</exception>
    public static void Write(string folder, SessionResult result)
    {
        var written = new List<(string Temporary, string Final)>();
        try
        {
            foreach (ResultFile file in ResultFiles.All)
            {
                string temporary = Beside(folder, file.Name);
                written.Add((temporary, Path.Combine(folder, file.Name)));
                using FileStream stream = new(temporary, FileMode.CreateNew, FileAccess.Write, FileShare.None);
                file.Write(result, stream);
                stream.Flush(flushToDisk: true);
            }
            foreach ((string temporary, string final) in written) File.Move(temporary, final, overwrite: true);
        }
        finally
        {
            foreach ((string temporary, _) in written) File.Delete(temporary);
        }
    }

    private static string Beside(string folder, string name) => Path.Combine(folder, ".oilwatch-" + Path.GetRandomFileName() + "-" + name + ".tmp");
}
