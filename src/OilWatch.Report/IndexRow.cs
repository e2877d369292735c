using OilWatch.Alerts;
using OilWatch.Results;

namespace OilWatch.Report;

/// <summary>One log on the index page.</summary>
/// <param name="LogName">The log's file name.</param>
/// <param name="Folder">The sub-folder with its results, as it is called on disk; null when it could not be read.</param>
/// <param name="Verdict">The answer in one word, or null.</param>
/// <param name="Sentence">The answer in one sentence, or why there is none.</param>
/// <param name="Laps">Laps found.</param>
/// <param name="EngineHours">Engine hours, h, or null.</param>
/// <param name="Warnings">Alerts of the severity warning.</param>
/// <param name="Cautions">Alerts of the severity caution.</param>
/// <param name="MinRatio">The worst ratio of oil pressure to healthy of all laps and alerts, or null.</param>
public sealed record IndexRow(
    string LogName, string? Folder, Verdict? Verdict, string Sentence, int Laps, double? EngineHours, int Warnings, int Cautions, double? MinRatio)
{
    /// <summary>The row for a session.</summary>
    /// <param name="result">What was found.</param>
    /// <param name="folder">The sub-folder with its results.</param>
    public static IndexRow Of(SessionResult result, string folder)
    {
        ArgumentNullException.ThrowIfNull(result);
        return new IndexRow(
            result.LogName, folder, result.Verdict, result.Headline, result.Laps.Length, result.EngineHours,
            result.Alerts.Count(alert => alert.Severity == Severity.Warning), result.Alerts.Count(alert => alert.Severity == Severity.Caution),
            result.Laps.Select(lap => lap.OilPressureMinRatio)
                .Concat(result.Alerts.Where(alert => alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure).Select(alert => alert.MinRatio)).Min());
    }

    /// <summary>The row for a log that has no results.</summary>
    /// <param name="logName">Its file name.</param>
    /// <param name="why">Why not, a sentence.</param>
    public static IndexRow Unread(string logName, string why) => new(logName, null, null, why, 0, null, 0, 0, null);
}
