using OilWatch.Alerts;
using OilWatch.Results;

namespace OilWatch.Console.Text;

/// <summary>Severities and verdicts by shape and word; colour comes on top.</summary>
internal static class SeverityMarks
{
    /// <summary>The more strokes, the graver; as wide for each.</summary>
    public static string Shape(Severity severity) => severity switch
    {
        Severity.Warning => "!!!",
        Severity.Caution => "!! ",
        _ => "!  ",
    };

    public static Tone Tone(Severity severity) => severity switch
    {
        Severity.Warning => Text.Tone.Warning,
        Severity.Caution => Text.Tone.Caution,
        _ => Text.Tone.Advisory,
    };

    public static Tone Tone(Verdict verdict) => verdict switch
    {
        Verdict.Stop => Text.Tone.Warning,
        Verdict.Watch => Text.Tone.Caution,
        _ => Text.Tone.Good,
    };
}
