using System.Collections.Immutable;
using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Share of trials still without an event after a time, from trials some of which ended before any event.</summary>
/// <remarks>
/// Product-limit estimate with Greenwood's variance and limits on the log(−log) scale, which stay within 0 to 1. Sources: E. L. Kaplan, P. Meier, J. Am.
/// Stat. Assoc. 53 (1958) 457; M. Greenwood (1926); J. D. Kalbfleisch, R. L. Prentice, The Statistical Analysis of Failure Time Data (1980).
/// </remarks>
public sealed record KaplanMeier
{
    /// <summary>A step at each time with an event, in order of time.</summary>
    public required ImmutableArray<KaplanMeierStep> Steps { get; init; }

    /// <summary>Trials in all.</summary>
    public required int Trials { get; init; }

    /// <summary>Events in all.</summary>
    public required int Events { get; init; }

    /// <summary>The longest time watched, s; 0 without trials.</summary>
    public required double LongestS { get; init; }

    /// <summary>First time at which half or fewer are left, s; null where the curve stays above a half.</summary>
    public double? MedianS => Steps.FirstOrDefault(s => s.Share <= 0.5 + 1e-12)?.TimeS;

    /// <summary>Estimates the curve.</summary>
    /// <param name="trials">Time, s, 0 or more, and whether it ended in an event (true) or was cut off (false). A cut at the time of an event counts as still at risk.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <exception cref="ArgumentException">A time below 0 or NaN.</exception>
    public static KaplanMeier Of(IEnumerable<(double TimeS, bool Event)> trials, double confidence = 0.95)
    {
        ArgumentNullException.ThrowIfNull(trials);
        Confidence.Check(confidence);
        (double TimeS, bool Event)[] sorted = [.. trials.OrderBy(t => t.TimeS)];
        if (sorted.Any(t => t.TimeS is not (>= 0 and < double.PositiveInfinity)))
            throw new ArgumentException("A time is 0 s or more.", nameof(trials));

        double z = Normal.InvCDF(0, 1, 0.5 + (confidence / 2));
        var steps = ImmutableArray.CreateBuilder<KaplanMeierStep>();
        double share = 1, greenwood = 0;
        for (int i = 0; i < sorted.Length;)
        {
            int to = i, events = 0;
            for (; to < sorted.Length && sorted[to].TimeS == sorted[i].TimeS; to++)
                events += sorted[to].Event ? 1 : 0;
            int atRisk = sorted.Length - i;
            if (events > 0)
            {
                share *= 1 - ((double)events / atRisk);
                greenwood += events / ((double)atRisk * (atRisk - events));
                double error = share > 0 ? share * Math.Sqrt(greenwood) : 0;
                steps.Add(new(sorted[i].TimeS, atRisk, events, share, error, LogLog(share, greenwood, z)));
            }
            i = to;
        }
        return new()
        {
            Steps = steps.ToImmutable(),
            Trials = sorted.Length,
            Events = sorted.Count(t => t.Event),
            LongestS = sorted.Length == 0 ? 0 : sorted[^1].TimeS,
        };
    }

    private static Limits LogLog(double share, double greenwood, double z)
    {
        if (share <= 0) return new(0, 0);       // nothing is left to be uncertain about on this scale; R prints NA here
        double log = Math.Log(share);
        double spread = Math.Exp(z * Math.Sqrt(greenwood) / Math.Abs(log));
        return new(Math.Exp(log * spread), Math.Exp(log / spread));
    }
}
