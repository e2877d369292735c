namespace OilWatch.Live.Recording;

/// <summary>Where the files of a recording go.</summary>
public interface IRecordingStore
{
    /// <summary>Room left, bytes.</summary>
    long FreeBytes { get; }

    /// <summary>Creates a file that must not exist yet.</summary>
    /// <param name="name">Its name without a folder.</param>
    /// <exception cref="IOException">It exists or cannot be created.</exception>
    Stream Create(string name);

    /// <summary>Sees that everything written is on the disk itself.</summary>
    /// <exception cref="IOException">The disk says that it is not.</exception>
    void Flush(Stream file);
}
