namespace OilWatch.Reading;

/// <summary>Takes the bytes of a text log from a <see cref="RecordPump"/>, a stretch at a time.</summary>
internal interface IRecordHandler
{
    /// <summary>Handles every whole record at the front of <paramref name="bytes"/>.</summary>
    /// <param name="bytes">Valid only during the call. Begins at the start of a record.</param>
    /// <param name="final">True when no more bytes will come: the last record need not be terminated.</param>
    /// <returns>How many bytes were used; the rest is offered again with more behind it.</returns>
    int Handle(ReadOnlySpan<byte> bytes, bool final);

    /// <summary>A record is longer than the pump holds. It is skipped to the end of its line.</summary>
    /// <param name="beginning">Its first bytes, for the message.</param>
    void TooLong(ReadOnlySpan<byte> beginning);
}
