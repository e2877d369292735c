using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Alerts;

/// <summary>Turns the measurements of an oil-temperature event into an alert with its words.</summary>
internal static class OilTemperatureAlertText
{
    /// <summary>The alert for an event.</summary>
    public static Alert Alert(in OilTemperatureEvent found, Place place) => new()
    {
        Kind = AlertKind.OilTemperature,
        Severity = found.Severity,
        Start = found.Start,
        Raised = found.Raised,
        End = found.End,
        Ending = found.Ending,
        Escalated = found.SeverityAt > found.Raised ? found.SeverityAt : null,
        Lap = place.Lap,
        Corner = place.Corner,
        Channel = Role.OilTemperature,
        DurationS = found.DurationS,
        Revolutions = found.Revolutions,
        RpmAtMin = double.IsFinite(found.WorstRpm) ? found.WorstRpm : null,
        OilTemperatureC = found.WorstC,
        Detail = found.IsCold ? "cold" : "hot",
        Reading = found.IsCold
            ? "high engine speed before the oil was warm"
            : "oil too hot: cooler, airflow, oil level, or more load than the system was made for",
        Evidence = EvidenceOf(in found),
        Inspect = found.IsCold
            ? ["warm-up before going out", "oil filter cut open, where it happens often"]
            : ["oil cooler, its thermostat and ducting", "oil level", "oil grade and its age: change it after heat like this", "bearings: filter cut open for bearing material"],
        Message = MessageOf(in found),
    };

    private static ImmutableArray<string> EvidenceOf(in OilTemperatureEvent found)
    {
        string time = string.Create(CultureInfo.InvariantCulture, $"for {found.DurationS:F0} s and {found.Revolutions:F0} crank revolutions");
        return found.IsCold
            ? [string.Create(CultureInfo.InvariantCulture, $"up to {found.WorstRpm:F0} rpm with oil at {found.WorstC:F0} °C, under {found.LimitC:F0} °C"), time]
            : [string.Create(CultureInfo.InvariantCulture, $"oil reached {found.WorstC:F0} °C, over {found.LimitC:F0} °C"), time];
    }

    private static string MessageOf(in OilTemperatureEvent found)
    {
        string act = found.Severity == Severity.Warning ? "Ease off and come in." : "Ease off and let it cool.";
        return found.IsCold
            ? FormattableString.Invariant($"Oil still cold, {found.WorstC:F0} °C: keep engine speed down until it is warm.")
            : FormattableString.Invariant($"Oil too hot: {found.WorstC:F0} °C. {act}");
    }
}
