using OilWatch.Reading;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>What the JSON forms say about the reading of a log.</summary>
internal static class ReportContent
{
    public static ResultValue Of(ReadingReport report) => Map(
        ("bytes", ResultValue.Of(report.Bytes)),
        ("lines", ResultValue.Of(report.Lines)),
        ("classes", List(report.Classes, line => Map(
            ("name", ResultValue.Of(line.Name)),
            ("count", ResultValue.Of(line.Count))))),
        ("start_s", Instant(report.First)),
        ("end_s", Instant(report.Last)),
        ("time_went_back", ResultValue.Of(report.TimeWentBack)),
        ("problem_count", ResultValue.Of(report.ProblemCount)),
        ("problems", List(report.Problems, problem => Map(
            ("file", ResultValue.Of(problem.File)),
            ("line", problem.Line > 0 ? ResultValue.Of(problem.Line) : Absent),
            ("column", problem.Column > 0 ? ResultValue.Of(problem.Column) : Absent),
            ("text", ResultValue.Of(problem.Text))))));
}
