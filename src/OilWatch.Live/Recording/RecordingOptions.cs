namespace OilWatch.Live.Recording;

/// <summary>How a recording is kept.</summary>
public sealed record RecordingOptions
{
    /// <summary>The defaults.</summary>
    public static RecordingOptions Default { get; } = new();

    /// <summary>How often what came is written and flushed to the disk itself. 1 ms to 250 ms; default 100 ms. At most this, and the time the disk takes, is lost in a power cut.</summary>
    public TimeSpan FlushEvery { get; init; } = TimeSpan.FromMilliseconds(100);

    /// <summary>A file that has grown past this is closed and another begun, bytes. At least 64 KiB; default 256 MiB.</summary>
    public long FileBytes { get; init; } = 256L * 1024 * 1024;

    /// <summary>Nothing is recorded while the disk has less room than this, bytes. Default 256 MiB.</summary>
    public long DiskFloorBytes { get; init; } = 256L * 1024 * 1024;

    /// <summary>Bytes that wait for a slow disk at most. 64 KiB to 256 MiB; default 8 MiB. More are left out of the recording, with a notice.</summary>
    public int BufferBytes { get; init; } = 8 * 1024 * 1024;

    /// <summary>How long to wait after a failure before another file is tried. Default 5 s.</summary>
    public TimeSpan RetryAfter { get; init; } = TimeSpan.FromSeconds(5);
}
