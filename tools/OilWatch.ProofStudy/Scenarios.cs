namespace OilWatch.ProofStudy;

/// <summary>The scenarios of the study. Scatter of 0.3 between sessions, 0.2 of each corner and 0.4 between laps is the ordinary case.</summary>
internal static class Scenarios
{
    private const double Cure = double.NegativeInfinity;

    public static IReadOnlyList<Scenario> All { get; } =
    [
        new("every lap, no fix", Problem.EveryLap, 0),
        new("every lap, no fix, strong clusters", Problem.EveryLap, 0, SessionScatter: 0.5, CornerScatter: 0.3, LapScatter: 0.6),
        new("every lap, cure, 2 x 10 laps", Problem.EveryLap, Cure, Laps: 10),
        new("every lap, cure, 2 x 12 laps", Problem.EveryLap, Cure),
        new("every lap, cure, 1 x 10 laps", Problem.EveryLap, Cure, Before: 1, After: 1, Laps: 10),
        new("every lap, to a third", Problem.EveryLap, -3.4),
        new("every lap, to a quarter", Problem.EveryLap, -3.8),
        new("often, no fix", Problem.Often, 0),
        new("often, no fix, 4 + 4 sessions", Problem.Often, 0, Before: 4, After: 4),
        new("often, no fix, 1 + 1 session", Problem.Often, 0, Before: 1, After: 1, Laps: 15),
        new("often, no fix, strong clusters", Problem.Often, 0, SessionScatter: 0.5, CornerScatter: 0.3, LapScatter: 0.6),
        new("often, no fix, weak clusters", Problem.Often, 0, SessionScatter: 0.1, CornerScatter: 0.1, LapScatter: 0.2),
        new("often, halved", Problem.Often, -0.9),
        new("often, to a third, 3 + 2", Problem.Often, -1.5, Before: 3),
        new("often, cure", Problem.Often, Cure),
        new("everywhere, no fix", Problem.Everywhere, 0),
        new("everywhere, no fix, strong clusters", Problem.Everywhere, 0, SessionScatter: 0.5, CornerScatter: 0.3, LapScatter: 0.6),
        new("everywhere, worse", Problem.Everywhere, 1),
        new("rare, no fix", Problem.Rare, 0, Laps: 15),
        new("rare, no fix, strong clusters", Problem.Rare, 0, Laps: 15, SessionScatter: 0.5, CornerScatter: 0.3, LapScatter: 0.6),
        new("rare, halved", Problem.Rare, -0.7, Laps: 15),
        new("rare, cure", Problem.Rare, Cure, Laps: 15),
    ];
}
