using System.Globalization;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Scenarios;

if (CommandLine.Read(args, out CommandLine line) is { } problem)
{
    Console.Error.WriteLine(problem);
    Console.Error.WriteLine(CommandLine.Usage);
    return 2;
}

if (line.ListOnly)
{
    foreach (Scenario scenario in AllScenarios.List) Console.WriteLine($"{scenario.Name,-18}{scenario.Summary}");
    return 0;
}

if (line.Example)
{
    ShippedExample.Write(line.Folder);
    return 0;
}

foreach (string scenario in line.Scenarios)
{
    for (ulong seed = line.FirstSeed; seed <= line.LastSeed; seed++)
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan(scenario, seed) { Laps = line.Laps, RateHz = line.RateHz });
        string folder = line.EachInItsFolder
            ? Path.Combine(line.Folder, string.Create(CultureInfo.InvariantCulture, $"{scenario}-{seed}"))
            : line.Folder;
        RunFolder.Write(run, folder, line.Csv, line.Can);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{scenario} seed {seed}: {run.Truth.LengthS:F0} s, {run.Truth.Events.Count} events ({run.Truth.Events.Count(e => e.IsCaution)} caution), {run.Truth.Faults.Count} faults"));
    }
}

return 0;
