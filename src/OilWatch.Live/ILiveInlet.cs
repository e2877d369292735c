namespace OilWatch.Live;

/// <summary>What a source hands its bytes to. Never blocks for longer than a copy takes, whatever happens behind it.</summary>
public interface ILiveInlet
{
    /// <summary>Takes bytes as they came.</summary>
    /// <param name="bytes">Valid only during the call.</param>
    void Write(ReadOnlySpan<byte> bytes);

    /// <summary>The connection broke: what comes next does not go on from what came before. A line cut by it is ended.</summary>
    void Break();

    /// <summary>Says what the source is doing.</summary>
    void Say(LiveNotice notice);
}
