using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>What counts as comparable, and what the verdict asks for.</summary>
public sealed record ProofOptions
{
    /// <summary>The defaults.</summary>
    public static ProofOptions Default { get; } = new();

    /// <summary>Fewest exposures of each group in the common region. Range 1 to 10000. Default 12.</summary>
    public int MinExposures { get; init; } = 12;

    /// <summary>Smallest share of either group's exposures that must lie in the common region. Range 0 to 1. Default 0.25.</summary>
    public double MinShareInRegion { get; init; } = 0.25;

    /// <summary>Smallest share of the events before that must lie in the common region. Range 0 to 1. Default 0.5.</summary>
    /// <remarks>Where the car never again went where it used to fail, nothing is proven, however many quiet corners there are.</remarks>
    public double MinShareOfEvents { get; init; } = 0.5;

    /// <summary>Largest share of the exposures after that may have gone unjudged for <c>fixed</c>. Range 0 to 1. Default 0.2.</summary>
    public double MaxShareNotJudged { get; init; } = 0.2;

    /// <summary>Width of the load bands within which groups are compared, g. Range 0.05 to 1. Default 0.2.</summary>
    public double LoadBandG { get; init; } = 0.2;

    /// <summary>Width of the hold bands where the corner is not known, s. Range 0.2 to 10. Default 1.</summary>
    public double HoldBandS { get; init; } = 1;

    /// <summary>How far beyond the other group's range an exposure may lie, by axis.</summary>
    public AxisValues Tolerance { get; init; } = new(0.05, 0.3, 250, 8);

    /// <summary>How far the groups' means may differ within the region, by axis, before the verdict is <c>not-comparable</c>.</summary>
    public AxisValues LargestDifference { get; init; } = new(0.1, 0.5, 500, 12);

    /// <summary>What <c>fixed</c> asks of the upper bound after: below this share of the rate before. Range 0.01 to 1. Default 0.2, by the contract.</summary>
    public double FixedShareOfBefore { get; init; } = 0.2;

    /// <summary>Significance asked for. Range 0.0001 to 0.5. Default 0.05.</summary>
    public double Significance { get; init; } = 0.05;

    /// <summary>Resamples for the limits of the difference in depth. Range 100 to 100000. Default 1000.</summary>
    public int Resamples { get; init; } = 1000;

    /// <summary>What the limits assume about sessions, and their seed.</summary>
    public ClusteredRatesOptions Rates { get; init; } = ClusteredRatesOptions.Default;

    /// <summary>Every problem at once; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        if (MinExposures is not (>= 1 and <= 10_000)) yield return Out("min_exposures", MinExposures, "1 to 10000");
        if (MinShareInRegion is not (>= 0 and <= 1)) yield return Out("min_share_in_region", MinShareInRegion, "0 to 1");
        if (MinShareOfEvents is not (>= 0 and <= 1)) yield return Out("min_share_of_events", MinShareOfEvents, "0 to 1");
        if (MaxShareNotJudged is not (>= 0 and <= 1)) yield return Out("max_share_not_judged", MaxShareNotJudged, "0 to 1");
        if (LoadBandG is not (>= 0.05 and <= 1)) yield return Out("load_band_g", LoadBandG, "0.05 to 1");
        if (HoldBandS is not (>= 0.2 and <= 10)) yield return Out("hold_band_s", HoldBandS, "0.2 to 10");
        if (FixedShareOfBefore is not (>= 0.01 and <= 1)) yield return Out("fixed_share_of_before", FixedShareOfBefore, "0.01 to 1");
        if (Significance is not (>= 0.0001 and <= 0.5)) yield return Out("significance", Significance, "0.0001 to 0.5");
        if (Resamples is not (>= 100 and <= 100_000)) yield return Out("resamples", Resamples, "100 to 100000");
        foreach (string problem in Rates.Problems()) yield return problem;
    }

    private static string Out(string name, double value, string range) => FormattableString.Invariant($"{name} = {value} is out of range; {range} is allowed");
}
