namespace OilWatch.Mqtt.Linking;

/// <summary>How long to wait before the next try: twice as long each time, up to a limit, and by chance up to half as long, so that many that lost one broker do not come back at once.</summary>
/// <param name="chance">A number from 0 to 1.</param>
internal sealed class RetryPace(Func<double> chance)
{
    public static readonly TimeSpan Shortest = TimeSpan.FromMilliseconds(500);
    public static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);

    private TimeSpan _next = Shortest;

    /// <summary>It works again.</summary>
    public void Reset() => _next = Shortest;

    /// <summary>The next wait.</summary>
    public TimeSpan Next()
    {
        TimeSpan wait = _next * (1 - (0.5 * chance()));
        _next = _next * 2 < Longest ? _next * 2 : Longest;
        return wait;
    }
}
