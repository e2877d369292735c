namespace OilWatch.Channels;

/// <summary>How much is kept of each channel: the more channels, the less, so that the whole stays bounded.</summary>
/// <param name="Values">Values kept as a sample.</param>
/// <param name="DistinctValues">Different values counted one by one.</param>
/// <param name="IntervalsPerDecade">Steps a decade in which the time between readings is counted.</param>
internal readonly record struct ContentsDetail(int Values, int DistinctValues, int IntervalsPerDecade)
{
    public static ContentsDetail For(int channelCount)
    {
        int share = Math.Max(channelCount, 1);
        return new ContentsDetail(
            Math.Clamp(1_000_000 / share, 32, 2048),
            Math.Clamp(200_000 / share, 16, 256),
            Math.Clamp(50_000 / share, 4, 64));
    }
}
