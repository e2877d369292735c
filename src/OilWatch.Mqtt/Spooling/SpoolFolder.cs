namespace OilWatch.Mqtt.Spooling;

/// <summary>A folder that holds the spool; made when it is opened.</summary>
/// <param name="path">The folder. One program at a time uses it.</param>
public sealed class SpoolFolder(string path) : ISpoolStore
{
    /// <summary>The file's name.</summary>
    public const string FileName = "mqtt-spool.owq";

    private string Main => Path.Combine(path, FileName);

    private string Fresh => Main + ".tmp";

    /// <inheritdoc/>
    public string Name => Main;

    /// <inheritdoc/>
    public Stream Open()
    {
        Directory.CreateDirectory(path);
        return Opened(Main, FileMode.OpenOrCreate);
    }

    /// <inheritdoc/>
    public Stream Begin() => Opened(Fresh, FileMode.Create);

    /// <inheritdoc/>
    public Stream Replace(Stream old, Stream fresh)
    {
        ArgumentNullException.ThrowIfNull(old);
        ArgumentNullException.ThrowIfNull(fresh);
        fresh.Dispose();                                   // a file that is open cannot be given another name everywhere
        old.Dispose();
        File.Move(Fresh, Main, overwrite: true);
        return Opened(Main, FileMode.Open);
    }

    /// <inheritdoc/>
    public void Flush(Stream file)
    {
        ArgumentNullException.ThrowIfNull(file);
        if (file is FileStream onDisk) onDisk.Flush(flushToDisk: true);
        else file.Flush();
    }

    private static FileStream Opened(string file, FileMode mode)
    {
        var options = new FileStreamOptions
        {
            Mode = mode,
            Access = FileAccess.ReadWrite,
            Share = FileShare.None,
            BufferSize = 0,                                // a message goes to the system in one write
        };
        if (!OperatingSystem.IsWindows() && mode != FileMode.Open) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        return new FileStream(file, options);
    }
}
