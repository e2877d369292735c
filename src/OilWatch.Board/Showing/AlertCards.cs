using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Live.Life;
using OilWatch.Report;

namespace OilWatch.Board.Showing;

/// <summary>The alerts that stand, as the page shows them.</summary>
internal sealed class AlertCards(Quantities quantities)
{
    /// <summary>Alerts shown at most; how many more there are is said.</summary>
    public const int Most = 40;

    private const int LongestSentence = 400;

    /// <summary>What somebody has seen of an alert: it differs when the alert came again or became graver.</summary>
    public static string SeenMark(StandingAlert standing) =>
        string.Create(CultureInfo.InvariantCulture, $"{standing.Id}.{standing.Times}.{standing.Alert.Severity.Word()}");

    /// <summary>Kind, lap and corner, such as <c>oil starvation, lap 3, C3L</c>.</summary>
    public static string Where(Alert alert)
    {
        string lap = alert.Lap is { } number ? string.Create(CultureInfo.InvariantCulture, $"lap {number}") : "";
        return string.Join(", ", new[] { lap, alert.Corner ?? "" }.Where(part => part.Length > 0));
    }

    /// <summary>Writes the alerts, the gravest first.</summary>
    public void Write(Utf8JsonWriter json, ImmutableArray<StandingAlert> standing)
    {
        json.WriteNumber("standing", standing.Length);
        json.WriteStartArray("cards");
        foreach (StandingAlert alert in standing.Take(Most)) Write(json, alert);
        json.WriteEndArray();
    }

    private void Write(Utf8JsonWriter json, StandingAlert standing)
    {
        Alert alert = standing.Alert;
        json.WriteStartObject();
        json.WriteNumber("id", standing.Id);
        json.WriteString("seen", SeenMark(standing));
        json.WriteString("severity", alert.Severity.Word());
        json.Text("what", ReportWords.Name(alert.Kind) + (ReportWords.Detail(alert) is { } detail ? $" ({detail})" : ""));
        json.Text("where", Where(alert));
        json.WriteString("at", BoardWords.Clock(alert.Start));
        json.Text("message", quantities.Sentence(alert.Message), LongestSentence);
        json.WriteNumber("times", standing.Times);
        json.WriteBoolean("over", standing.IsOver);
        json.WriteString("status", Status(standing));
        json.WriteBoolean("acknowledged", standing.IsAcknowledged);
        json.Texts("figures", Figures(alert));
        json.Text("reading", alert.Reading is { } reading ? quantities.Sentence(reading) : null, LongestSentence);
        json.Text("inspect", alert.Inspect.IsDefaultOrEmpty ? null : alert.Inspect[0], LongestSentence);
        json.WriteEndObject();
    }

    /// <summary>Whether it lasts. Losing the data is not recovering.</summary>
    private static string Status(StandingAlert standing) => standing switch
    {
        { IsOver: false } => "it lasts",
        { Alert.Ending: EventEnd.DataLost } => "no longer known: the data were lost while it lasted",
        { Alert.Ending: EventEnd.LogEnded } => "it lasted when the data ended",
        _ => "over: " + ReportWords.Ending(standing.Alert.Ending),
    };

    private IEnumerable<string> Figures(Alert alert)
    {
        if (alert is { MinKpa: { } least, ExpectedKpa: { } expected })
        {
            bool crankcase = alert.Kind == AlertKind.CrankcaseVacuumLoss;
            string of = crankcase
                ? $"{quantities.SmallPressure(least)} of {quantities.SmallPressure(expected)}"
                : $"{quantities.Pressure(least)} of {quantities.Pressure(expected)}";
            yield return $"{of} {quantities.PressureUnit}";
        }
        if (alert.MinRatio is not null) yield return $"{ReportWords.Share(alert)} of healthy";
        if (alert.DurationS is { } length) yield return $"for {Quantities.Number(length, 1)} s";
        if (alert.RpmAtMin is { } rpm) yield return $"at {Quantities.Count(Math.Round(rpm))} rpm";
        if (alert.PeakLateralG is { } g) yield return $"{Quantities.Number(g, 2)} g{(ReportWords.Load(alert.Direction) is { Length: > 0 } load ? ", " + load : "")}";
    }
}
