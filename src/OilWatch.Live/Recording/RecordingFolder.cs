namespace OilWatch.Live.Recording;

/// <summary>A folder for the files of a recording; made when the first one is.</summary>
/// <param name="path">The folder.</param>
public sealed class RecordingFolder(string path) : IRecordingStore
{
    /// <inheritdoc/>
    public long FreeBytes
    {
        get
        {
            Directory.CreateDirectory(path);
            return new DriveInfo(Path.GetFullPath(path)).AvailableFreeSpace;
        }
    }

    /// <inheritdoc/>
    public Stream Create(string name)
    {
        Directory.CreateDirectory(path);
        return new FileStream(Path.Combine(path, name), new FileStreamOptions
        {
            Mode = FileMode.CreateNew,
            Access = FileAccess.Write,
            Share = FileShare.Read,
            BufferSize = 0,                        // a block goes to the system in one write
        });
    }

    /// <inheritdoc/>
    public void Flush(Stream file)
    {
        ArgumentNullException.ThrowIfNull(file);
        if (file is FileStream onDisk) onDisk.Flush(flushToDisk: true);
        else file.Flush();
    }
}
