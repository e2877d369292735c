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
        MissingRoles = plan => Roles.All.Where(role => !plan.Has(role)).Select(role => new MissingRole(role, "not known yet")),
        Limits = options => PressureDropOptions.Limits.Select(limit => new LimitRow(
            PressureDropOptions.Section, limit, limit.Get(PressureDropOptions.Default), limit.Get(options.PressureDrop))),
    };
}
