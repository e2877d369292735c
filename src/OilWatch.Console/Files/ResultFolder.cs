using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;
using OilWatch.Results;

namespace OilWatch.Console.Files;

/// <summary>A folder of result files. A run that fails or is interrupted leaves it as it was.</summary>
/// <param name="path">The folder; made when something is written.</param>
/// <param name="create">Creates a file that must not exist yet.</param>
internal sealed class ResultFolder(string path, Func<string, Stream> create)
{
    private const string Mark = ".oilwatch-";

    /// <summary>Where it is.</summary>
    public string FolderPath => path;

    /// <summary>A new file, open for writing.</summary>
    public static Stream CreateNew(string file) => new FileStream(file, FileMode.CreateNew, FileAccess.Write, FileShare.None);

    /// <summary>Makes the folder and makes sure that files can be written in it, before anything is analysed.</summary>
    /// <exception cref="UsageException">It cannot be used.</exception>
    public void Prepare()
    {
        try
        {
            Directory.CreateDirectory(path);
            string trial = Beside("trial");
            create(trial).Dispose();
            File.Delete(trial);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new UsageException(Failures.OutFolder(path, error));
        }
    }

    /// <summary>Writes all files under other names, then gives them their own. Files of an earlier run are replaced only when all are written.</summary>
    /// <exception cref="IOException">Nothing was changed.</exception>
    /// <exception cref="OperationCanceledException">Nothing was changed.</exception>
    public void Write(SessionResult result, IReadOnlyList<ResultFile> files, CancellationToken stop) =>
        Write([.. files.Select(file => (file.Name, (Action<Stream>)(stream => file.Write(result, stream))))], stop);

    /// <summary>The same for any files: their names and how to write them.</summary>
    /// <exception cref="IOException">Nothing was changed.</exception>
    /// <exception cref="OperationCanceledException">Nothing was changed.</exception>
    public void Write(IReadOnlyList<(string Name, Action<Stream> Write)> files, CancellationToken stop)
    {
        Directory.CreateDirectory(path);
        (string Temporary, string Final)[] written = [.. files.Select(file => (Beside(file.Name), Path.Combine(path, file.Name)))];
        try
        {
            WriteAtOnce([.. files.Zip(written, (file, place) => (Action)(() => WriteNew(place.Temporary, file.Write)))], stop);
            stop.ThrowIfCancellationRequested();
            ReplaceAll(written);
        }
        finally
        {
            foreach ((string temporary, _) in written) DeleteIfThere(temporary);
        }
    }

    /// <summary>The report takes as long as all other files together. The caller takes its share, so that a busy pool of threads holds nothing up.</summary>
    private static void WriteAtOnce(IReadOnlyList<Action> writes, CancellationToken stop)
    {
        try
        {
            Parallel.ForEach(
                Partitioner.Create(writes, EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { CancellationToken = stop }, static write => write());
        }
        catch (AggregateException errors)
        {
            ExceptionDispatchInfo.Throw(errors.InnerExceptions[0]);
        }
    }

    private void WriteNew(string file, Action<Stream> write)
    {
        using Stream stream = create(file);
        write(stream);
        if (stream is FileStream onDisk) onDisk.Flush(flushToDisk: true);
    }

    /// <summary>Gives the new files their names; when one fails, puts the earlier ones back.</summary>
    private void ReplaceAll(IReadOnlyCollection<(string Temporary, string Final)> written)
    {
        var earlier = new Dictionary<string, string>(StringComparer.Ordinal);
        var moved = new Stack<string>();
        try
        {
            foreach ((_, string final) in written)
            {
                if (!File.Exists(final)) continue;
                earlier.Add(final, Beside(Path.GetFileName(final)));
                File.Copy(final, earlier[final]);
            }
            foreach ((string temporary, string final) in written)
            {
                File.Move(temporary, final, overwrite: true);
                moved.Push(final);
            }
        }
        catch
        {
            while (moved.TryPop(out string? final))
            {
                if (earlier.TryGetValue(final, out string? copy)) File.Move(copy, final, overwrite: true);
                else File.Delete(final);
            }
            throw;
        }
        finally
        {
            foreach (string copy in earlier.Values) DeleteIfThere(copy);
        }
    }

    private string Beside(string name) => Path.Combine(path, Mark + Path.GetRandomFileName() + "-" + name + ".tmp");

    private static void DeleteIfThere(string file)
    {
        try
        {
            File.Delete(file);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // A temporary file that cannot be removed must not hide why the run failed; it never bears a final name.
        }
    }
}
