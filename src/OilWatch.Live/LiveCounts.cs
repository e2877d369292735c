namespace OilWatch.Live;

/// <summary>What has gone through a watch so far. May be read from any thread while it runs.</summary>
public sealed class LiveCounts
{
    private long _sourceBytes;
    private long _droppedBytes;
    private long _breaks;
    private long _readings;
    private long _records;
    private long _frames;

    /// <summary>Bytes that came from the source. A log that is played is no source.</summary>
    public long SourceBytes => Volatile.Read(ref _sourceBytes);

    /// <summary>Bytes that went before they were judged, because more came than could be.</summary>
    public long DroppedBytes => Volatile.Read(ref _droppedBytes);

    /// <summary>How often the connection to the source broke.</summary>
    public long Breaks => Volatile.Read(ref _breaks);

    /// <summary>Readings of channels that have a role.</summary>
    public long Readings => Volatile.Read(ref _readings);

    /// <summary>Records of the stream that the analysis has taken: lines of a table, CAN frames that it reads.</summary>
    public long Records => Volatile.Read(ref _records);

    /// <summary>Frames that were judged.</summary>
    public long Frames => Volatile.Read(ref _frames);

    // Each has one thread that writes it, so adding needs no more than a store that others see.
    internal void AddSourceBytes(int count) => Volatile.Write(ref _sourceBytes, _sourceBytes + count);

    internal void SetDroppedBytes(long count) => Volatile.Write(ref _droppedBytes, count);

    internal void AddBreak() => Volatile.Write(ref _breaks, _breaks + 1);

    internal void AddRecord(long readings)
    {
        Volatile.Write(ref _readings, _readings + readings);
        Volatile.Write(ref _records, _records + 1);
    }

    internal void AddFrame() => Volatile.Write(ref _frames, _frames + 1);
}
