using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Reading;

namespace OilWatch.Console;

/// <summary>Which of the library's entry points the verbs use.</summary>
internal static class Wiring
{
    public static Parts Parts { get; } = new()
    {
        Analyse = SessionAnalysis.RunAsync,
        OpenLog = LogFile.OpenAsync,
        ParseCar = (_, file) => (AnalysisOptions.Default, [new ReadingProblem(file, 0, 0, "car files cannot be read yet")]),
        FindRoles = (_, _, _) => new ChannelPlan([], ["Roles cannot be given yet."]),
        RoleCost = role => $"No {role.Key()}.",
        Limits = options => PressureDropOptions.Limits.Select(limit => new LimitListing(
            PressureDropOptions.Section, limit.Key, limit.Unit, limit.Get(options.PressureDrop), limit.Get(PressureDropOptions.Default),
            limit.Min, limit.Max, limit.Meaning, limit.Source)),
    };
}
