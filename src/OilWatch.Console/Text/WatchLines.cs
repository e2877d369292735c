using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Console.Text;

/// <summary>What <c>watch</c> says as it goes on, a line or two each.</summary>
internal static class WatchLines
{
    private const string Bell = "\a";

    /// <summary>A step in an alert's life: when, how grave by shape and word, what, where.</summary>
    /// <param name="change">The step.</param>
    /// <param name="colour">True where colour may be used.</param>
    /// <param name="bell">True to ring when a caution or warning is raised or an alert becomes one.</param>
    public static string Of(AlertChange change, bool colour, bool bell)
    {
        Alert alert = change.Alert;
        var page = new Page(colour);
        bool over = change.Phase == AlertPhase.Ended;
        string word = change.Phase switch
        {
            AlertPhase.Raised => alert.Severity.Word(),
            AlertPhase.Escalated => $"now {alert.Severity.Word()}",
            _ => Over(alert),
        };
        string mark = over ? "   " : SeverityMarks.Shape(alert.Severity);
        page.Wrapped(
            string.Create(CultureInfo.InvariantCulture, $"{word}, alert {change.Id}, {alert.Kind.Word()}{Where(alert)}: {alert.Message}"),
            $"{Clock(change.At)} {mark} ", over ? Tone.Plain : SeverityMarks.Tone(alert.Severity));
        return page + (bell && !over && alert.Severity >= Severity.Caution ? Bell : "");
    }

    /// <summary>What the stream is, and which channel plays which role.</summary>
    public static string Planned(ILogReader reader, ChannelPlan plan)
    {
        string roles = plan.Choices.IsEmpty
            ? "no channel that can be judged was found"
            : string.Join(", ", plan.Choices.Select(choice => $"{choice.Role.Key()} from '{choice.Channel.Name}'"));
        string missing = plan.Has(Role.OilPressure) && plan.Has(Role.EngineSpeed) ? "" : "; OIL PRESSURE CANNOT BE JUDGED: it needs oil_pressure and engine_speed";
        return $"{reader.Name}: {reader.FormatName}; {roles}{missing}";
    }

    private static string Over(Alert alert) => alert.Ending switch
    {
        EventEnd.DataLost => "no longer known (data lost)",
        EventEnd.LogEnded => "still standing when the data ended",
        _ => $"over ({alert.Ending.Word()})",
    };

    private static string Where(Alert alert) =>
        (alert.Lap is { } lap ? string.Create(CultureInfo.InvariantCulture, $", lap {lap}") : "") + (alert.Corner is { } corner ? $", {corner}" : "");

    /// <summary>Log time as <c>h:mm:ss.f</c>.</summary>
    private static string Clock(LogTime at)
    {
        long tenths = at.Nanoseconds / 100_000_000;
        return string.Create(CultureInfo.InvariantCulture, $"{tenths / 36_000}:{tenths / 600 % 60:D2}:{tenths / 10 % 60:D2}.{Math.Abs(tenths % 10)}");
    }
}
