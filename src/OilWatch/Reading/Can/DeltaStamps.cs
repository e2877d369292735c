namespace OilWatch.Reading.Can;

/// <summary>Tells stamps that count from frame to frame (delta) from stamps that count on.</summary>
internal static class DeltaStamps
{
    private const long EpochNs = 100_000_000L * LogTime.NanosecondsPerSecond;    // larger: seconds since 1970
    private const long LongestMeanGapNs = 60L * LogTime.NanosecondsPerSecond;
    private const int Fewest = 8;

    /// <summary>True when the stamps look like differences.</summary>
    /// <remarks>
    /// The first stamp of a delta log is 0 and says nothing. Of the others, differences stay small, do not grow through the log as time does,
    /// and step down or stay the same again and again. A log that counts on does so rarely, even with two interfaces out of step.
    /// </remarks>
    public static bool LooksSo(IReadOnlyList<long> stamps)
    {
        int count = stamps.Count - 1;
        if (count < Fewest) return false;
        double firstHalf = 0, secondHalf = 0;
        int down = 0, same = 0;
        for (int i = 1; i <= count; i++)
        {
            if (stamps[i] >= EpochNs) return false;
            if (i <= count / 2) firstHalf += stamps[i];
            else secondHalf += stamps[i];
            if (i == 1) continue;
            if (stamps[i] < stamps[i - 1]) down++;
            if (stamps[i] == stamps[i - 1]) same++;
        }
        int steps = count - 1;
        bool small = (firstHalf + secondHalf) / count < LongestMeanGapNs;
        bool grows = secondHalf / (count - (count / 2)) >= 2 * firstHalf / (count / 2) && secondHalf > 0;
        bool allSame = same == steps && stamps[1] > 0;
        return small && !grows && (allSame || (20 * down >= steps && 10 * (down + same) >= 3 * steps));
    }
}
