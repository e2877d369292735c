namespace OilWatch.Mqtt.Spooling;

/// <summary>Where messages are kept while the broker is away: one file, and another that takes its place when it is written anew.</summary>
public interface ISpoolStore
{
    /// <summary>What it is called in messages, such as its path.</summary>
    string Name { get; }

    /// <summary>Opens the file for reading and writing, or makes it; for this process alone.</summary>
    /// <exception cref="IOException">It cannot be opened, or another process has it.</exception>
    Stream Open();

    /// <summary>Makes the file that is to take its place, empty.</summary>
    /// <exception cref="IOException">It cannot be made.</exception>
    Stream Begin();

    /// <summary>Puts one in the place of the other, whole or not at all.</summary>
    /// <param name="old">What <see cref="Open"/> gave; closed by this.</param>
    /// <param name="fresh">What <see cref="Begin"/> gave, written and flushed.</param>
    /// <returns>The stream to go on with.</returns>
    /// <exception cref="IOException">The old one is still in its place; both are closed.</exception>
    Stream Replace(Stream old, Stream fresh);

    /// <summary>Sees that everything written is on the disk itself.</summary>
    /// <exception cref="IOException">The disk says that it is not.</exception>
    void Flush(Stream file);
}
