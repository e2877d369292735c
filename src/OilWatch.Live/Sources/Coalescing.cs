namespace OilWatch.Live.Sources;

/// <summary>Lets small pieces gather, so that a source of thousands of frames a second wakes nobody more than a thousand times a second.</summary>
internal static class Coalescing
{
    /// <summary>Bytes asked for at once.</summary>
    public const int BufferBytes = 64 * 1024;

    private const int LargeBytes = 16 * 1024;          // so much at once has gathered already

    /// <summary>Waits a millisecond after a small piece; what comes meanwhile is read at once.</summary>
    public static void AfterReading(int count)
    {
        if (count < LargeBytes) Thread.Sleep(1);
    }
}
