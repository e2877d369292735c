using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Bias-corrected and accelerated bootstrap limits from replicates that exist already.</summary>
/// <remarks>
/// Source: B. Efron, J. Am. Stat. Assoc. 82 (1987) 171. Replicates equal to the estimate count half (mid-rank), which matters for medians and other statistics with few
/// values; counting them as not below is the other convention and shifts the limits.
/// </remarks>
public static class Bca
{
    /// <summary>Bias correction z₀: the normal score of the share of replicates below the estimate.</summary>
    /// <param name="replicates">Bootstrap replicates.</param>
    /// <param name="estimate">The statistic of the data themselves.</param>
    /// <param name="midRank">Count replicates equal to the estimate half; otherwise not at all.</param>
    public static double Bias(IReadOnlyList<double> replicates, double estimate, bool midRank = true)
    {
        ArgumentNullException.ThrowIfNull(replicates);
        double below = 0;
        foreach (double t in replicates) below += t < estimate ? 1 : t == estimate && midRank ? 0.5 : 0;
        // A share of 0 or 1 has no normal score; half a replicate keeps it finite.
        return Normal.InvCDF(0, 1, Math.Clamp(below / replicates.Count, 0.5 / replicates.Count, 1 - (0.5 / replicates.Count)));
    }

    /// <summary>Acceleration: a sixth of the skewness of the jackknife.</summary>
    /// <param name="jackknife">The statistic with one observation (or cluster) left out, for each.</param>
    /// <returns>0 where leaving out makes no difference.</returns>
    public static double Acceleration(IReadOnlyList<double> jackknife)
    {
        ArgumentNullException.ThrowIfNull(jackknife);
        double mean = jackknife.Average(), squares = 0, cubes = 0;
        foreach (double t in jackknife)
        {
            double d = mean - t;
            squares += d * d;
            cubes += d * d * d;
        }
        return squares > 0 ? cubes / (6 * Math.Pow(squares, 1.5)) : 0;
    }

    /// <summary>The shares of the sorted replicates at which the limits stand.</summary>
    /// <param name="bias">z₀.</param>
    /// <param name="acceleration">a.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    public static Limits Levels(double bias, double acceleration, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        double z = Normal.InvCDF(0, 1, (1 - confidence) / 2);
        return new(Level(z), Level(-z));

        double Level(double side)
        {
            double sum = bias + side;
            return Normal.CDF(0, 1, bias + (sum / (1 - (acceleration * sum))));
        }
    }

    /// <summary>The limits.</summary>
    /// <param name="replicates">Bootstrap replicates, any order.</param>
    /// <param name="estimate">The statistic of the data themselves.</param>
    /// <param name="jackknife">The statistic with one observation or cluster left out, for each.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <param name="midRank">See <see cref="Bias"/>.</param>
    /// <exception cref="ArgumentException">No replicates.</exception>
    public static Limits Of(IReadOnlyList<double> replicates, double estimate, IReadOnlyList<double> jackknife, double confidence = 0.95, bool midRank = true)
    {
        ArgumentNullException.ThrowIfNull(replicates);
        if (replicates.Count == 0) throw new ArgumentException("There is at least one replicate.", nameof(replicates));
        double[] sorted = [.. replicates.Order()];
        Limits levels = Levels(Bias(sorted, estimate, midRank), Acceleration(jackknife), confidence);
        return new(Quantile(sorted, levels.Low), Quantile(sorted, levels.High));
    }

    /// <summary>The smallest value with at least the share of all at or below it.</summary>
    internal static double Quantile(double[] sorted, double share) =>
        sorted[Math.Clamp((int)Math.Ceiling(share * sorted.Length) - 1, 0, sorted.Length - 1)];
}
