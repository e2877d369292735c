using OilWatch.Proof;
using OilWatch.Proof.Page;

namespace OilWatch.ProofStudy;

/// <summary>Pages of simulated pairs, to look at.</summary>
internal static class SamplePages
{
    public static void Write(string folder)
    {
        foreach ((string name, Scenario scenario) in new[]
        {
            ("cure", new Scenario("", Problem.EveryLap, double.NegativeInfinity)),
            ("short", new Scenario("", Problem.EveryLap, double.NegativeInfinity, After: 1, Laps: 6)),
            ("partial", new Scenario("", Problem.Often, -1.5)),
            ("nothing", new Scenario("", Problem.Often, 0)),
            ("worse", new Scenario("", Problem.Everywhere, 1.5)),
        })
        {
            var pair = new SimulatedPair(scenario, 7);
            Write(Path.Combine(folder, name), ProofAnalysis.Compare(pair.Before, pair.After));
        }
        var dry = new SimulatedPair(new("", Problem.EveryLap, 0), 7);
        ProofGroup wet = dry.After with { Sessions = [.. dry.After.Sessions.Select(s => s with { Other = [.. s.Other!.Select(e => e with { LoadG = e.LoadG * 0.5, Event = false })] })] };
        Write(Path.Combine(folder, "wet"), ProofAnalysis.Compare(dry.Before, wet));
    }

    private static void Write(string folder, ProofResult result)
    {
        Directory.CreateDirectory(folder);
        using (FileStream json = File.Create(Path.Combine(folder, "proof.json"))) ProofJson.Write(json, result);
        using (FileStream page = File.Create(Path.Combine(folder, "proof.html"))) ProofPage.Write(page, result);
        Console.WriteLine($"{folder}: {result.Headline}");
    }
}
