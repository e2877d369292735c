namespace OilWatch.Proof.Statistics;

/// <summary>Checks that every method here makes of its arguments.</summary>
internal static class Confidence
{
    /// <summary>Refuses a confidence outside 0 to 1.</summary>
    public static void Check(double confidence)
    {
        if (confidence is not (> 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "Confidence is a share above 0 and below 1, such as 0.95.");
    }

    /// <summary>Refuses a negative count.</summary>
    public static void CheckCount(double count, string name)
    {
        if (count is not (>= 0 and < double.PositiveInfinity))
            throw new ArgumentOutOfRangeException(name, count, "A count is 0 or more.");
    }
}
