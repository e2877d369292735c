using OilWatch.Laps;

namespace OilWatch.Results;

/// <summary>The words that files and screens use for verdicts and kinds of lap.</summary>
public static class ResultWords
{
    /// <summary><c>clear</c>, <c>watch</c> or <c>stop</c>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such verdict.</exception>
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Clear => "clear",
        Verdict.Watch => "watch",
        Verdict.Stop => "stop",
        _ => throw new ArgumentOutOfRangeException(nameof(verdict)),
    };

    /// <summary><c>timed</c>, <c>out</c>, <c>in</c> or <c>incomplete</c>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such kind.</exception>
    public static string Of(LapKind kind) => kind switch
    {
        LapKind.Timed => "timed",
        LapKind.Out => "out",
        LapKind.In => "in",
        LapKind.Incomplete => "incomplete",
        _ => throw new ArgumentOutOfRangeException(nameof(kind)),
    };
}
