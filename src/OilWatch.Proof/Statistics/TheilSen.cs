using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>A robust straight line: the median of the slopes of all pairs.</summary>
/// <param name="Slope">Unit of y per unit of x.</param>
/// <param name="Intercept">Median of y less slope times median of x, unit of y.</param>
/// <param name="Limits">Limits of the slope.</param>
/// <remarks>Source: P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379; limits by its equation 2.6 with ties in x and y.</remarks>
public sealed record TheilSen(double Slope, double Intercept, Limits Limits)
{
    /// <summary>Fits the line.</summary>
    /// <param name="x">Such as hours or session number; at least two different values.</param>
    /// <param name="y">As many values as <paramref name="x"/>, no NaN.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <exception cref="ArgumentException">Different lengths, NaN, or no two different x.</exception>
    public static TheilSen Of(IReadOnlyList<double> x, IReadOnlyList<double> y, double confidence = 0.95)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        Confidence.Check(confidence);
        if (x.Count != y.Count) throw new ArgumentException("There is a y for every x.", nameof(y));
        if (x.Any(double.IsNaN) || y.Any(double.IsNaN)) throw new ArgumentException("NaN has no place on a line: leave it out first.", nameof(y));

        var slopes = new List<double>();
        for (int i = 0; i < x.Count; i++)
        {
            for (int j = i + 1; j < x.Count; j++)
            {
                if (x[j] != x[i]) slopes.Add((y[j] - y[i]) / (x[j] - x[i]));
            }
        }
        if (slopes.Count == 0) throw new ArgumentException("A slope needs two different x.", nameof(x));
        slopes.Sort();

        double slope = Median(slopes);
        double z = Normal.InvCDF(0, 1, (1 - confidence) / 2);
        double sigma = Math.Sqrt(Math.Max(0, (Term(y.Count) - Ties(x) - Ties(y)) / 18));
        int high = Math.Min((int)Math.Round((slopes.Count - (z * sigma)) / 2), slopes.Count - 1);
        int low = Math.Max((int)Math.Round((slopes.Count + (z * sigma)) / 2) - 1, 0);
        return new(slope, Median([.. y.Order()]) - (slope * Median([.. x.Order()])), new(slopes[low], slopes[high]));
    }

    private static double Term(double k) => k * (k - 1) * ((2 * k) + 5);

    private static double Ties(IEnumerable<double> values) => values.GroupBy(v => v).Sum(g => Term(g.Count()));

    private static double Median(List<double> sorted) => 0.5 * (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]);
}
