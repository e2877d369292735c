using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;

namespace OilWatch.Alerts;

/// <summary>Turns a sensor fault into an alert with its words.</summary>
internal static class SensorAlertText
{
    /// <summary>The alert for a fault.</summary>
    public static Alert Alert(in SensorFault fault)
    {
        string name = fault.Role.Key().Replace('_', ' ');
        string what = fault.Kind switch
        {
            SensorFaultKind.Dropout when double.IsFinite(fault.Level) => "dropped to nothing at once",
            SensorFaultKind.Dropout => "gave no reading",
            SensorFaultKind.Rail => "stood at an end of its range",
            SensorFaultKind.Stuck => "stood still while the engine did not",
            _ => "gave wild readings",
        };
        double seconds = fault.End.SecondsSince(fault.Start);
        ImmutableArray<string>.Builder evidence = ImmutableArray.CreateBuilder<string>();
        evidence.Add(string.Create(CultureInfo.InvariantCulture, $"{name} {what} for {seconds:F2} s"));
        if (double.IsFinite(fault.Level)) evidence.Add(string.Create(CultureInfo.InvariantCulture, $"it showed {fault.Level:G5} {fault.Role.Unit()}"));
        if (fault.Count > 0) evidence.Add(string.Create(CultureInfo.InvariantCulture, $"{fault.Count} readings far from their neighbours"));
        bool matters = fault.Role is Role.OilPressure or Role.EngineSpeed;
        return new Alert
        {
            Kind = AlertKind.SensorFault,
            Severity = matters && seconds >= 2 ? Severity.Caution : Severity.Advisory,
            Start = fault.Start,
            Raised = fault.Raised,
            End = fault.End,
            Ending = fault.Ending,
            Channel = fault.Role,
            DurationS = seconds,
            Detail = fault.Kind switch
            {
                SensorFaultKind.Dropout => "dropout",
                SensorFaultKind.Rail => "rail",
                SensorFaultKind.Stuck => "stuck",
                _ => "spikes",
            },
            Reading = "sensor, connector or wiring",
            Evidence = evidence.ToImmutable(),
            Inspect = ["connector and wiring for chafing and loose pins", "the sensor against a known-good gauge", "the sensor's supply and ground"],
            Message = matters
                ? $"{char.ToUpperInvariant(name[0])}{name[1..]} sensor not to be believed: watch the gauge."
                : $"{char.ToUpperInvariant(name[0])}{name[1..]} sensor not to be believed.",
        };
    }
}
