namespace OilWatch.Reading;

/// <summary>Takes readings as a reader finds them. Calls come from one thread, in the order of the log.</summary>
public interface IReadingSink
{
    /// <summary>Records with stamps no farther apart than this are of one instant, whatever their order, ns: what a control unit sends at once is on the bus within it.</summary>
    internal const long TickNanoseconds = 2_000_000;

    /// <summary>One value of one selected channel.</summary>
    /// <param name="at">When, in the log's time base.</param>
    /// <param name="channel">The index of the <see cref="Channels.LogChannel"/>.</param>
    /// <param name="value">The value in the channel's own unit. NaN: the source says that it has none (an error code, text).</param>
    void Add(LogTime at, int channel, double value);

    /// <summary>A table row or a CAN frame is complete: all its values have been added.</summary>
    void EndRecord(LogTime at);

    /// <summary>The source itself says that data were lost here (an error frame, an overflow notice).</summary>
    void DataLost(LogTime at);

    /// <summary>Time has gone on to here and nothing was wanted of what came; told not more often than once in <see cref="TickNanoseconds"/>.</summary>
    /// <param name="at">When, in the log's time base.</param>
    void Passed(LogTime at) { }

    /// <summary>The record that comes next stood behind later ones in the log: it was put in its place, or left out.</summary>
    /// <param name="at">When the record was, or the latest instant given where it was left out.</param>
    /// <param name="seconds">How far the time stamps went back, s.</param>
    void StampedBehind(LogTime at, double seconds) { }
}
