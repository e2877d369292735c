using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>All oil starvation of a session taken together.</summary>
/// <param name="Events">Oil-starvation alerts.</param>
/// <param name="DurationS">Seconds below, added up.</param>
/// <param name="LongestS">The longest of them, s; null without any.</param>
/// <param name="Revolutions">Crank revolutions turned in them, or null when not known.</param>
/// <param name="DeficitKpaS">Pressure deficit integrated over them, kPa·s, or null when not known.</param>
public sealed record StarvationTotal(int Events, double DurationS, double? LongestS, double? Revolutions, double? DeficitKpaS)
{
    /// <summary>Adds up a session.</summary>
    /// <param name="result">The session.</param>
    public static StarvationTotal Of(SessionResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        Alert[] starved = result.Alerts.IsDefault ? [] : [.. result.Alerts.Where(alert => alert.Kind == AlertKind.OilStarvation)];
        return new StarvationTotal(
            starved.Length,
            starved.Sum(alert => alert.DurationS ?? 0),
            starved.Max(alert => alert.DurationS),
            Sum(starved, alert => alert.Revolutions),
            Sum(starved, alert => alert.DeficitKpaS));
    }

    private static double? Sum(Alert[] alerts, Func<Alert, double?> value) =>
        alerts.Any(alert => value(alert) is not null) ? alerts.Sum(value) : null;
}
