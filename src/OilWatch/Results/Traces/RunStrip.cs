using System.Collections.Immutable;

namespace OilWatch.Results.Traces;

/// <summary>The lowest ratio of oil pressure to expected along the whole run, bin by bin.</summary>
/// <param name="From">When the first bin begins.</param>
/// <param name="StepS">Length of a bin, s.</param>
/// <param name="LowestRatio">The lowest ratio in each bin; <see cref="float.NaN"/> where pressure could not be judged.</param>
public sealed record RunStrip(LogTime From, double StepS, ImmutableArray<float> LowestRatio)
{
    /// <summary>The bins from one instant to another.</summary>
    /// <returns>Seconds after <paramref name="from"/> of the middle of each bin, and its ratio.</returns>
    public IEnumerable<(double AfterS, double Ratio)> Between(LogTime from, LogTime to)
    {
        int first = Math.Max(0, (int)Math.Clamp(from.SecondsSince(From) / StepS, 0, int.MaxValue - 1));
        double last = to.SecondsSince(From) / StepS;
        for (int bin = first; bin < LowestRatio.Length && bin < last; bin++)
            yield return (From.AddSeconds((bin + 0.5) * StepS).SecondsSince(from), LowestRatio[bin]);
    }
}
