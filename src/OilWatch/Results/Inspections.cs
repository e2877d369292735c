using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>What to look at before going out again, over all alerts of a session.</summary>
public static class Inspections
{
    /// <summary>What the alerts about the engine ask for: what most of them, and the gravest, name early comes first.</summary>
    /// <param name="result">The session.</param>
    public static ImmutableArray<Inspection> First(SessionResult result) => Ranked(result, sensors: false);

    /// <summary>The same for alerts that a sensor or its wiring is not to be believed.</summary>
    /// <param name="result">The session.</param>
    public static ImmutableArray<Inspection> OfSensors(SessionResult result) => Ranked(result, sensors: true);

    private static ImmutableArray<Inspection> Ranked(SessionResult result, bool sensors)
    {
        ArgumentNullException.ThrowIfNull(result);
        if (result.Alerts.IsDefault) return [];
        return
        [
            .. result.Alerts
                .Where(alert => (alert.Kind == AlertKind.SensorFault) == sensors)
                .Order(AlertOrder.WorstFirst)
                .SelectMany(alert => (alert.Inspect.IsDefault ? [] : alert.Inspect)
                    .Select((what, place) => (What: what, Weight: Weight(alert.Severity) / (place + 1))))
                .GroupBy(item => item.What, StringComparer.Ordinal)
                .OrderByDescending(group => group.Sum(item => item.Weight))
                .Select(group => new Inspection(group.Key, group.Count())),
        ];
    }

    // Each step of severity outweighs a handful of the step below it.
    private static double Weight(Severity severity) => severity switch
    {
        Severity.Warning => 25,
        Severity.Caution => 5,
        _ => 1,
    };
}
