using System.Globalization;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Alerts;

/// <summary>Turns the measurements of an over-speed into an alert with its words.</summary>
internal static class OverSpeedAlertText
{
    /// <summary>The alert for an over-speed.</summary>
    public static Alert Alert(in OverSpeed found, Place place)
    {
        double excess = found.PeakRpm - found.LimitRpm;
        return new Alert
        {
            Kind = AlertKind.OverSpeed,
            Severity = found.Severity,
            Start = found.Start,
            Raised = found.Raised,
            End = found.End,
            Ending = found.Ending,
            Escalated = found.SeverityAt > found.Raised ? found.SeverityAt : null,
            Lap = place.Lap,
            Corner = place.Corner,
            Channel = Role.EngineSpeed,
            DurationS = found.DurationS,
            Revolutions = found.Revolutions,
            RpmAtMin = found.PeakRpm,
            Reading = found.Driven
                ? "driven past the limit with the throttle shut: a gear too low"
                : "engine speed past the limit: a missed shift, wheelspin, or the limiter set too high",
            Evidence =
            [
                string.Create(CultureInfo.InvariantCulture, $"{found.PeakRpm:F0} rpm, {excess:F0} rpm over the limit of {found.LimitRpm:F0} rpm"),
                string.Create(CultureInfo.InvariantCulture, $"over it for {found.DurationS:F2} s and {found.Revolutions:F0} crank revolutions"),
            ],
            Inspect = found.Severity == Severity.Advisory
                ? ["limiter setting"]
                : ["valve springs and valve lash", "leak-down of each cylinder, for a valve that touched", "rod bolts and bearings at the next opening", "limiter setting, shifter and its gate"],
            Message = string.Create(CultureInfo.InvariantCulture,
                $"Engine over-speed: {found.PeakRpm:F0} rpm, limit {found.LimitRpm:F0}. {(found.Severity == Severity.Warning ? "Come in and look." : "Shift earlier.")}"),
        };
    }
}
