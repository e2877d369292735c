using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Live.Life;
using OilWatch.Reading;

namespace OilWatch.Console.Text;

/// <summary>What <c>watch</c> says as it goes on, a line or two each.</summary>
internal static class WatchLines
{
    private const string Bell = "\a";

    /// <summary>A step in an alert's life: when, how grave by shape and word, what, where.</summary>
    /// <param name="phase">The step.</param>
    /// <param name="standing">The alert as it stands after it.</param>
    /// <param name="colour">True where colour may be used.</param>
    /// <param name="bell">True to ring for a caution or warning that is new or became one.</param>
    public static string Of(LifePhase phase, StandingAlert standing, bool colour, bool bell)
    {
        Alert alert = standing.Alert;
        var page = new Page(colour);
        bool over = phase is LifePhase.Over or LifePhase.Cleared;
        string word = phase switch
        {
            LifePhase.Raised => alert.Severity.Word(),
            LifePhase.Updated when standing.Times > 1 => string.Create(CultureInfo.InvariantCulture, $"{alert.Severity.Word()} again, {standing.Times} times now"),
            LifePhase.Updated => $"now {alert.Severity.Word()}",
            _ => Over(alert),
        };
        string mark = over ? "   " : SeverityMarks.Shape(alert.Severity);
        page.Wrapped(
            string.Create(CultureInfo.InvariantCulture, $"{word}, alert {standing.Id}, {alert.Kind.Word()}{Where(alert)}: {alert.Message}"),
            $"{Clock(standing.At)} {mark} ", over ? Tone.Plain : SeverityMarks.Tone(alert.Severity));
        return page + (bell && !over && alert.Severity >= Severity.Caution ? Bell : "");
    }

    /// <summary>Alerts that nobody has acknowledged, the gravest named.</summary>
    public static string Reminder(LogTime at, ImmutableArray<StandingAlert> open, bool colour, bool bell)
    {
        Alert worst = open[0].Alert;
        var page = new Page(colour);
        page.Wrapped(
            string.Create(CultureInfo.InvariantCulture, $"{open.Length} not acknowledged; gravest: alert {open[0].Id}, {worst.Kind.Word()}{Where(worst)}: {worst.Message} Enter acknowledges."),
            $"{Clock(at)} {SeverityMarks.Shape(worst.Severity)} ", SeverityMarks.Tone(worst.Severity));
        return page + (bell ? Bell : "");
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
