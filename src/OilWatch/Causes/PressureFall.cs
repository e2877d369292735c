namespace OilWatch.Causes;

/// <summary>How far pressure itself fell around an instant, at equal engine speed.</summary>
internal static class PressureFall
{
    private const double LeastInBin = 10;
    private const double LeastWeight = 50;

    /// <summary>The fall as a share of what pressure was; NaN where the two sides have too few engine speeds in common.</summary>
    /// <param name="tally">The run.</param>
    /// <param name="split">The stretch in which it fell; it belongs to neither side.</param>
    /// <param name="window">Stretches on each side.</param>
    public static double Of(SignatureTally tally, int split, int window)
    {
        StretchSums before = Sum(tally, split - window, split), after = Sum(tally, split + 1, split + 1 + window);
        double sum = 0, weight = 0;
        for (int bin = StretchSums.FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            SignatureTally.Cell a = before.Over(bin, bin + 1, 0, SignatureTally.Loads), b = after.Over(bin, bin + 1, 0, SignatureTally.Loads);
            if (a.Count < LeastInBin || b.Count < LeastInBin) continue;
            double counts = 1 / ((1 / a.Count) + (1 / b.Count));
            sum += counts * Math.Log(Math.Max(b.PressureKpa / b.Count, 1) / Math.Max(a.PressureKpa / a.Count, 1));
            weight += counts;
        }
        return weight >= LeastWeight ? 1 - Math.Exp(sum / weight) : double.NaN;
    }

    private static StretchSums Sum(SignatureTally tally, int from, int to)
    {
        var sums = new StretchSums();
        for (int i = Math.Max(0, from); i < Math.Min(to, tally.Stretches.Count); i++) sums.Add(tally.Stretches[i]);
        return sums;
    }
}
