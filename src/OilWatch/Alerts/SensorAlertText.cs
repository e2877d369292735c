using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;

namespace OilWatch.Alerts;

/// <summary>Turns a sensor fault into an alert with its words.</summary>
internal static class SensorAlertText
{
    private static readonly ImmutableArray<string> Wiring =
        ["connector and wiring for chafing and loose pins", "the sensor against a known-good gauge", "the sensor's supply and ground"];

    /// <summary>The detail of a pressure that steps to and fro between possible levels: nothing of it is masked, and it may stand beside another offset.</summary>
    public const string Steps = "steps";

    /// <summary>The alert for a fault.</summary>
    public static Alert Alert(in SensorFault fault)
    {
        string name = fault.Role.Key().Replace('_', ' ');
        double seconds = fault.End.SecondsSince(fault.Start);
        bool matters = fault.Role is Role.OilPressure or Role.EngineSpeed && fault.Kind is not (SensorFaultKind.Time or SensorFaultKind.Gap);
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
            Detail = IsStepping(in fault) ? Steps : Word(fault.Kind),
            Reading = fault.Kind switch
            {
                SensorFaultKind.Time => "the logger's clock, or a log put together out of order",
                SensorFaultKind.Gap => "the logger, its supply or its bus: nothing at all was written",
                SensorFaultKind.Offset when IsAtmosphere(in fault) => "an absolute sensor taken for a gauge one, or a sensor with a constant error",
                SensorFaultKind.Offset when IsStepping(in fault) => "loose connector, chafed wire or bad ground of the sensor",
                SensorFaultKind.Offset => "sensor with a constant error, its ground or its calibration",
                SensorFaultKind.Slew => "loose connection",
                _ => "sensor, connector or wiring",
            },
            Evidence = EvidenceOf(in fault, name, seconds),
            Inspect = fault.Kind switch
            {
                SensorFaultKind.Time => ["the logger's clock and its memory", "how the log was exported"],
                SensorFaultKind.Gap => ["the logger's supply and ground", "the logger's memory and its bus", "how the log was exported"],
                SensorFaultKind.Offset when fault.Role is Role.LateralG or Role.LongitudinalG =>
                    ["the sensor's mounting and its zero", "whether the car stood on a slope", "the sensor's supply and ground"],
                SensorFaultKind.Offset when IsStepping(in fault) => Wiring,
                SensorFaultKind.Offset => ["the channel's calibration and unit, gauge or absolute", "the sensor against a known-good gauge", "the sensor's supply and ground"],
                _ => Wiring,
            },
            Message = fault.Kind switch
            {
                SensorFaultKind.Time => "The log's time stamps ran backwards there: do not trust what happened in that moment.",
                SensorFaultKind.Gap => string.Create(CultureInfo.InvariantCulture, $"Nothing was logged for {seconds:F1} s while the engine ran: what happened then is not known."),
                _ => $"{char.ToUpperInvariant(name[0])}{name[1..]} sensor not to be believed{(matters ? ": watch the gauge." : ".")}",
            },
        };
    }

    /// <summary>Such as <c>dropout</c>.</summary>
    private static string Word(SensorFaultKind kind) => kind switch
    {
        SensorFaultKind.Dropout => "dropout",
        SensorFaultKind.Rail => "rail",
        SensorFaultKind.Stuck => "stuck",
        SensorFaultKind.Spikes => "spikes",
        SensorFaultKind.Slew => "slew",
        SensorFaultKind.Offset => "offset",
        SensorFaultKind.Time => "time",
        SensorFaultKind.Gap => "gap",
        _ => throw new ArgumentOutOfRangeException(nameof(kind)),
    };

    /// <summary>A pressure that shows about one atmosphere with the engine stopped.</summary>
    private static bool IsAtmosphere(in SensorFault fault) =>
        fault.Count == 0 && fault.Role is Role.OilPressure or Role.CrankcasePressure && fault.Level is > 80 and < 110;

    private static bool IsStepping(in SensorFault fault) => fault.Kind == SensorFaultKind.Offset && fault.Count > 1;

    private static ImmutableArray<string> EvidenceOf(in SensorFault fault, string name, double seconds)
    {
        ImmutableArray<string>.Builder evidence = ImmutableArray.CreateBuilder<string>();
        if (fault.Kind == SensorFaultKind.Time)
        {
            evidence.Add(string.Create(CultureInfo.InvariantCulture,
                $"the time stamps went back {fault.Count} {(fault.Count == 1 ? "time" : "times")}, by up to {fault.Level:F2} s; what could not be put in order was left out"));
            return evidence.ToImmutable();
        }
        if (fault.Kind == SensorFaultKind.Gap)
        {
            evidence.Add(string.Create(CultureInfo.InvariantCulture, $"no channel gave a reading for {seconds:F2} s; the engine ran before and after"));
            return evidence.ToImmutable();
        }
        if (fault.Kind == SensorFaultKind.Offset)
        {
            evidence.Add(fault.Role is Role.OilTemperature or Role.WaterTemperature
                ? string.Create(CultureInfo.InvariantCulture, $"{name} leapt by {fault.Level:F0} {fault.Role.Unit()} from one reading to the next: no heat is that quick")
                : IsStepping(in fault)
                ? string.Create(CultureInfo.InvariantCulture,
                    $"{name} stepped to other levels {fault.Count} times, up and down, by up to {Math.Abs(fault.Level):F0} {fault.Role.Unit()}, each within one reading while engine speed stayed: no oil is that quick")
                : fault.Count > 0
                ? string.Create(CultureInfo.InvariantCulture, $"{name} leapt by {fault.Level:F0} {fault.Role.Unit()} from one reading to the next and went on there: no lag is that short")
                : string.Create(CultureInfo.InvariantCulture,
                    $"{name} showed {fault.Level:G3} {fault.Role.Unit()} with the {(fault.Role is Role.LateralG or Role.LongitudinalG ? "car standing" : "engine stopped")}"));
            return evidence.ToImmutable();
        }
        string what = fault.Kind switch
        {
            SensorFaultKind.Dropout when double.IsFinite(fault.Level) => "dropped to nothing at once",
            SensorFaultKind.Dropout => "gave no reading",
            SensorFaultKind.Rail => "stood at an end of its range",
            SensorFaultKind.Stuck => "stood still while the engine did not",
            SensorFaultKind.Slew => "moved faster than the engine can",
            _ => "gave wild readings",
        };
        evidence.Add(string.Create(CultureInfo.InvariantCulture, $"{name} {what} for {seconds:F2} s"));
        if (double.IsFinite(fault.Level)) evidence.Add(string.Create(CultureInfo.InvariantCulture, $"it showed {fault.Level:G5} {fault.Role.Unit()}"));
        if (fault.Count > 0)
        {
            evidence.Add(fault.Kind == SensorFaultKind.Slew
                ? string.Create(CultureInfo.InvariantCulture, $"{fault.Count} bursts of readings that disagree with each other")
                : string.Create(CultureInfo.InvariantCulture, $"{fault.Count} readings far from their neighbours"));
        }
        return evidence.ToImmutable();
    }
}
