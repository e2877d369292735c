namespace OilWatch.Live;

/// <summary>Takes the bytes of a source beside the analysis. Neither call may block.</summary>
public interface ILiveTap
{
    /// <summary>Takes bytes as they came.</summary>
    /// <param name="bytes">Valid only during the call.</param>
    void Write(ReadOnlySpan<byte> bytes);

    /// <summary>Takes note of what happened to the source.</summary>
    void Note(string text);
}
