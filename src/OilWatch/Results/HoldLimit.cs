using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>How long pressure held in one band of load to one side.</summary>
/// <param name="Direction">Left or right.</param>
/// <param name="FromG">Lower end of the band of sustained lateral acceleration, g.</param>
/// <param name="ToG">Its upper end, g; not part of it.</param>
/// <param name="Passes">Passes through corners in the band in which pressure could be judged.</param>
/// <param name="Drops">Those in which pressure began to fall.</param>
/// <param name="TenthS">Seconds of load by which pressure had begun to fall in one pass of ten, or null where it never came to that.</param>
public sealed record HoldLimit(LoadDirection Direction, double FromG, double ToG, int Passes, int Drops, double? TenthS)
{
    /// <summary>From this many passes on, <see cref="TenthS"/> is said in words: fewer could not tell one in ten.</summary>
    public const int EnoughPasses = 10;

    /// <summary>And from this many drops on: one or two may be chance.</summary>
    public const int EnoughDrops = 3;

    /// <summary>True when there is enough behind it to be said in words.</summary>
    public bool Enough => TenthS is not null && Passes >= EnoughPasses && Drops >= EnoughDrops;
}
