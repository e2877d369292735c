using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Analysis;

/// <summary>The verdict in one word and one sentence.</summary>
internal static class Answer
{
    /// <summary>How the note begins that says that a good part of the log was left out.</summary>
    public const string OnlyPart = "Only part of the log was judged";

    /// <summary>The verdict on a session.</summary>
    public static (Verdict Verdict, string Headline) Of(
        ImmutableArray<Alert> alerts, ImmutableArray<LapSummary> laps, ImmutableArray<CornerHarm> worst, bool canJudge, ImmutableArray<string> notJudged, CauseReading cause)
    {
        Alert[] oil = [.. alerts.Where(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure && alert.Severity >= Severity.Caution)];
        if (oil.Any(alert => alert.Severity == Severity.Warning)) return (Verdict.Stop, Oil(oil, laps, worst) + " Do not go out again before it has been looked at.");
        if (oil.Length > 0) return (Verdict.Watch, Oil(oil, laps, worst) + " Look before going out again.");
        if (!canJudge)
        {
            string why = notJudged.FirstOrDefault(SaysWhy) ?? "the log does not hold what is needed.";
            return (Verdict.Watch, "Oil pressure could not be judged: " + LowerFirst(why));
        }
        Alert[] other = [.. alerts.Where(alert => alert.Severity >= Severity.Caution).OrderByDescending(alert => alert.Severity)];
        if (other.Length > 0) return (Verdict.Watch, $"No loss of oil pressure, but {Count(other.Length, "other alert")}: {LowerFirst(other[0].Message)}");
        int shallow = alerts.Count(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure);
        if (shallow > 0) return (Verdict.Watch, $"Oil pressure dipped {Times(shallow)}, never 25 % below healthy for long enough to matter at once; keep an eye on it.");
        // What no alert showed: pressure that faded over minutes, that is lower than in the reference, or that flutters.
        if (cause.Scores.Any(score => score.Cause != Cause.Sensor))
            return (Verdict.Watch, $"No sudden loss of oil pressure, but it is not as it should be: {cause.Reading}.");
        if (notJudged.FirstOrDefault(note => note.StartsWith(OnlyPart, StringComparison.Ordinal)) is { } part)
            return (Verdict.Watch, "No loss of oil pressure found, but " + LowerFirst(part));
        return (Verdict.Clear, "No loss of oil pressure found in what could be judged.");
    }

    /// <summary>True for the notes that say why pressure was not judged; others say what is only known less well.</summary>
    private static bool SaysWhy(string note) =>
        note.StartsWith("No oil_pressure", StringComparison.Ordinal) || note.StartsWith("No engine_speed", StringComparison.Ordinal)
        || note.StartsWith("Oil pressure was never judged", StringComparison.Ordinal);

    private static string Oil(Alert[] oil, ImmutableArray<LapSummary> laps, ImmutableArray<CornerHarm> worst)
    {
        Alert deepest = oil.MinBy(alert => alert.MinRatio ?? 1)!;
        int starved = oil.Count(alert => alert.Kind == AlertKind.OilStarvation);
        string what = starved == oil.Length ? "Oil starvation" : starved == 0 ? "Oil pressure low without load" : "Oil pressure lost";
        int inLaps = oil.Where(alert => alert.Lap is not null).Select(alert => alert.Lap).Distinct().Count();
        string where = inLaps > 0 && laps.Length > 0 ? $" in {inLaps} of {Count(laps.Length, "lap")}" : "";
        string corner = worst.IsEmpty ? "" : $", mostly in {worst[0].Corner}";
        return string.Create(CultureInfo.InvariantCulture,
            $"{what} {Times(oil.Length)}{where}{corner}; worst {deepest.MinKpa:F0} kPa where {deepest.ExpectedKpa:F0} kPa is healthy.");
    }

    private static string Times(int count) => count switch
    {
        1 => "once",
        2 => "twice",
        _ => string.Create(CultureInfo.InvariantCulture, $"{count} times"),
    };

    private static string Count(int count, string word) =>
        string.Create(CultureInfo.InvariantCulture, $"{count} {word}{(count == 1 ? "" : "s")}");

    private static string LowerFirst(string sentence) => sentence.Length == 0 ? sentence : char.ToLowerInvariant(sentence[0]) + sentence[1..];
}
