namespace OilWatch.Proof.Statistics;

/// <summary>What <see cref="ClusteredRates"/> assumes before it sees the data.</summary>
public sealed record ClusteredRatesOptions
{
    /// <summary>The defaults.</summary>
    public static ClusteredRatesOptions Default { get; } = new();

    /// <summary>Scatter between sessions expected beforehand, standard deviation of the log odds. Range 0 to 3. Default 0.3.</summary>
    /// <remarks>Chosen by the study in docs/proof.md. A session is worth e^±0.3, a third more or a quarter fewer events than the next.</remarks>
    public double SessionScatter { get; init; } = 0.3;

    /// <summary>How many sessions' worth of evidence that expectation counts for. Range 1 to 100. Default 4.</summary>
    public double SessionScatterWeight { get; init; } = 4;

    /// <summary>Random draws. Range 200 to 1,000,000. Default 8000, which places the 2.5 % points to 0.2 % of probability.</summary>
    public int Draws { get; init; } = 8000;

    /// <summary>Seed of the draws, so that the same data give the same limits.</summary>
    public ulong Seed { get; init; } = 20_261_125;

    /// <summary>Every problem at once; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        if (SessionScatter is not (>= 0 and <= 3)) yield return FormattableString.Invariant($"session_scatter = {SessionScatter} is out of range; 0 to 3 is allowed");
        if (SessionScatterWeight is not (>= 1 and <= 100)) yield return FormattableString.Invariant($"session_scatter_weight = {SessionScatterWeight} is out of range; 1 to 100 is allowed");
        if (Draws is not (>= 200 and <= 1_000_000)) yield return FormattableString.Invariant($"draws = {Draws} is out of range; 200 to 1000000 is allowed");
    }
}
