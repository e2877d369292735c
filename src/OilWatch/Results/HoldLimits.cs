using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Laps;

namespace OilWatch.Results;

/// <summary>The boundary of load and time beyond which pressure falls, from the session's passes through corners.</summary>
/// <remarks>
/// Each pass is a trial: it ends with a drop, or with the load while pressure still held (a censored trial). In each band of load the share that
/// still holds is the product-limit estimate. Source: E. L. Kaplan and P. Meier, J. Amer. Statist. Assoc. 53 (1958) 457–481.
/// </remarks>
public static class HoldLimits
{
    /// <summary>Width of a band of load, g.</summary>
    public const double BandG = 0.2;

    private const double StillHolds = 0.9;
    private const double MostG = 10;                       // beyond it nothing on wheels corners

    /// <summary>The bands with passes in them, left before right, light load before heavy.</summary>
    /// <param name="result">The session.</param>
    public static ImmutableArray<HoldLimit> Of(SessionResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        if (result.CornerPasses.IsDefault) return [];
        return
        [
            .. result.CornerPasses
                .Where(Counts)
                .GroupBy(pass => (pass.Direction, Band: (int)Math.Floor((pass.PeakLateralG!.Value / BandG) + 1e-9)))
                .OrderBy(group => group.Key.Direction)
                .ThenBy(group => group.Key.Band)
                .Select(group => Limit(group.Key.Direction, group.Key.Band, [.. group])),
        ];
    }

    /// <summary>True for a pass that is a trial: its load is known and pressure could be judged, or was seen to drop.</summary>
    public static bool Counts(CornerPass pass)
    {
        ArgumentNullException.ThrowIfNull(pass);
        return pass.Direction is LoadDirection.Left or LoadDirection.Right
            && pass.PeakLateralG is >= 0 and < MostG
            && TrialS(pass) is > 0
            && (pass.TimeToDropS is not null || pass.Starved is not null);
    }

    /// <summary>How long the trial lasted, s: to the drop, or to the end of the load.</summary>
    public static double TrialS(CornerPass pass)
    {
        ArgumentNullException.ThrowIfNull(pass);
        return pass.TimeToDropS ?? pass.SustainedS;
    }

    private static HoldLimit Limit(LoadDirection direction, int band, CornerPass[] passes) => new(
        direction, Math.Round(band * BandG, 10), Math.Round((band + 1) * BandG, 10),
        passes.Length, passes.Count(pass => pass.TimeToDropS is not null), TenthS(passes));

    private static double? TenthS(CornerPass[] passes)
    {
        double holding = 1;
        int atRisk = passes.Length;
        foreach (IGrouping<double, CornerPass> instant in passes.GroupBy(TrialS).OrderBy(group => group.Key))
        {
            int drops = instant.Count(pass => pass.TimeToDropS is not null);
            holding *= 1 - ((double)drops / atRisk);
            if (holding <= StillHolds + 1e-12) return instant.Key;
            atRisk -= instant.Count();
        }
        return null;
    }
}
