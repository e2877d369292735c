using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Exact limits of a binomial share.</summary>
/// <remarks>Source: C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404; as quantiles of the beta distribution.</remarks>
public static class ClopperPearson
{
    /// <summary>Two-sided limits of the share.</summary>
    /// <param name="events">Events, 0 to <paramref name="trials"/>.</param>
    /// <param name="trials">Trials, more than 0.</param>
    /// <param name="confidence">Share, such as 0.95.</param>
    /// <returns>Limits between 0 and 1.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Counts that do not fit each other, or a confidence outside 0 to 1.</exception>
    public static Limits Of(double events, double trials, double confidence = 0.95)
    {
        Confidence.Check(confidence);
        double side = 1 - ((1 - confidence) / 2);
        return new(Lower(events, trials, side), Upper(events, trials, side));
    }

    /// <summary>One-sided upper limit of the share; for no event 1 − (1 − confidence)^(1/trials), which the rule of three puts at 3/trials.</summary>
    /// <inheritdoc cref="Of"/>
    public static double Upper(double events, double trials, double confidence = 0.95)
    {
        Check(events, trials, confidence);
        if (events >= trials) return 1;
        return events == 0
            ? -double.ExpM1(Math.Log(1 - confidence) / trials)
            : Beta.InvCDF(events + 1, trials - events, confidence);
    }

    /// <summary>One-sided lower limit of the share; 0 for no event.</summary>
    /// <inheritdoc cref="Of"/>
    public static double Lower(double events, double trials, double confidence = 0.95)
    {
        Check(events, trials, confidence);
        if (events == 0) return 0;
        return events >= trials
            ? Math.Exp(Math.Log(1 - confidence) / trials)
            : Beta.InvCDF(events, trials - events + 1, 1 - confidence);
    }

    private static void Check(double events, double trials, double confidence)
    {
        Confidence.Check(confidence);
        if (trials is not (> 0 and < double.PositiveInfinity))
            throw new ArgumentOutOfRangeException(nameof(trials), trials, "There is at least one trial.");
        if (events is not >= 0 || events > trials)
            throw new ArgumentOutOfRangeException(nameof(events), events, "Events are 0 to the number of trials.");
    }
}
