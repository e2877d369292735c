namespace OilWatch.Reading;

/// <summary>Takes readings as a reader finds them. Calls come from one thread, in the order of the log.</summary>
public interface IReadingSink
{
    /// <summary>One value of one selected channel.</summary>
    /// <param name="at">When, in the log's time base.</param>
    /// <param name="channel">The index of the <see cref="Channels.LogChannel"/>.</param>
    /// <param name="value">The value in the channel's own unit. NaN: the source says that it has none (an error code, text).</param>
    void Add(LogTime at, int channel, double value);

    /// <summary>A table row or a CAN frame is complete: all its values have been added.</summary>
    void EndRecord(LogTime at);

    /// <summary>The source itself says that data were lost here (an error frame, an overflow notice).</summary>
    void DataLost(LogTime at);
}
