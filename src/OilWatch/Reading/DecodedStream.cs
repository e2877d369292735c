namespace OilWatch.Reading;

/// <summary>The decoded bytes of a log, and what was done and found while decoding.</summary>
/// <param name="inner">The decoded bytes.</param>
/// <param name="packing">The gzip layer below, or null.</param>
/// <param name="note">A sentence for people about what was decoded, or null when the bytes passed unchanged.</param>
internal sealed class DecodedStream(Stream inner, LogBytes.GzipStream? packing, string? note) : ForwardStream
{
    /// <summary>A sentence for people about what was decoded, or null when the bytes passed unchanged.</summary>
    public string? Note { get; } = note;

    /// <summary>What is wrong with the packed file, known once the end was read; null when nothing is.</summary>
    public string? Damage => packing?.Damage;

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer) => inner.Read(buffer);

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing) inner.Dispose();
        base.Dispose(disposing);
    }
}
