namespace OilWatch.Reading;

/// <summary>Takes the bytes of a text log from a <see cref="RecordPump"/>, a stretch at a time.</summary>
internal interface IRecordHandler
{
    /// <summary>The byte that ends a line; a record that is too long is skipped up to it.</summary>
    byte LineEnd => (byte)'\n';

    /// <summary>Handles every whole record at the front of <paramref name="bytes"/>.</summary>
    /// <param name="bytes">Valid only during the call. Begins at the start of a record.</param>
    /// <param name="final">
    /// True when no more bytes will come: the last record need not be terminated. The last call, and only that one, is
    /// final; it may bring no bytes.
    /// </param>
    /// <returns>How many bytes were used; the rest is offered again with more behind it.</returns>
    int Handle(ReadOnlySpan<byte> bytes, bool final);

    /// <summary>A record is longer than the pump holds. It is skipped to the end of its line.</summary>
    /// <param name="beginning">Its first bytes, for the message.</param>
    void TooLong(ReadOnlySpan<byte> beginning);
}
