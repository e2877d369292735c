using OilWatch.Alerts;

namespace OilWatch.Causes;

/// <summary>How abruptly one drop began and ended.</summary>
/// <param name="LargestFall">Largest fall of the ratio from one reading to the next.</param>
/// <param name="LargestRise">Largest rise of the ratio from one reading to the next.</param>
/// <param name="Depth">How far the ratio fell in all.</param>
/// <param name="IntervalS">Usual time between two readings, s.</param>
/// <param name="LengthS">How long it has lasted, s.</param>
/// <param name="CollapsedUnder">The load under which it went to half of healthy and less while the engine slowed, to come back within seconds; none where it did not.</param>
/// <param name="ErraticShare">Share of its seconds in which what was left strayed by an eighth of itself and more; NaN where it had too few.</param>
internal readonly record struct DropShape(double LargestFall, double LargestRise, double Depth, double IntervalS, double LengthS, LoadDirection CollapsedUnder = LoadDirection.None, double ErraticShare = double.NaN)
{
    private const double StepShare = 0.75;
    private const double LongestIntervalS = 0.07;
    private const double LeastDepth = 0.12;
    private const double LongestS = 20;            // in a longer one gear changes step the ratio too

    /// <summary>
    /// True when pressure went and came back in one reading each way: the gallery, the line and the sensor together lag by at least 0.05 s, so
    /// at 20 readings a second no more than 63 % of a real change can pass between two readings (1 - exp(-0.05 / 0.05)).
    /// </summary>
    public bool IsStep => LengthS <= LongestS && IntervalS <= LongestIntervalS && Depth >= LeastDepth && LargestFall >= StepShare * Depth && LargestRise >= StepShare * Depth;
}
