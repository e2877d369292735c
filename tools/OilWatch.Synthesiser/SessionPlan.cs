using System.Globalization;

namespace OilWatch.Synthesiser;

/// <summary>Which run to make.</summary>
/// <param name="Scenario">Name of a scenario.</param>
/// <param name="Seed">Settles circuit, car, engine, driver and noise. The circuit, the car and the engine are the same for a seed in every scenario.</param>
public sealed record SessionPlan(string Scenario, ulong Seed)
{
    /// <summary>Timed laps, 1 to 200.</summary>
    public int Laps { get; init; } = 4;

    /// <summary>Number of the session, from 1: another driver's luck, heat, noise and faults with the same car, engine and circuit.</summary>
    public int Session { get; init; } = 1;

    /// <summary>Sampling rate, Hz, 5 to 200; null for the scenario's own.</summary>
    public double? RateHz { get; init; }

    /// <summary>Overrides what the scenario and the seed would draw; for the shipped example.</summary>
    public SessionTuning Tuning { get; init; } = new();

    /// <summary>Names the random numbers of what differs from scenario to scenario and from session to session.</summary>
    internal string Stream(string part) => Session == 1 ? $"{part} {Scenario}" : string.Create(CultureInfo.InvariantCulture, $"{part} {Scenario} session {Session}");
}
