using OilWatch.Synthesiser.Oil;

namespace OilWatch.Synthesiser.Scenarios;

/// <summary>The list of scenarios.</summary>
public static class AllScenarios
{
    private static readonly string[] Pressure = ["oil_pressure"];
    private static readonly string[] EngineSpeed = ["engine_speed"];
    private static readonly string[] Lateral = ["lateral_g"];
    private static readonly string[] Mixed = ["oil_pressure", "engine_speed", "lateral_g", "oil_pressure"];

    /// <summary>Every scenario, in the order of the documentation.</summary>
    public static IReadOnlyList<Scenario> List { get; } =
    [
        new("wet-left", "wet sump that starves in left-hand corners") { Prone = Prone.Left },
        new("wet-right", "wet sump that starves in right-hand corners") { Prone = Prone.Right },
        new("wet-braking", "wet sump that starves under braking") { Prone = Prone.Braking },
        new("wet-accel", "wet sump that starves under acceleration") { Prone = Prone.Accelerating },
        new("wet-both", "wet sump that starves in corners both ways") { Prone = Prone.Left | Prone.Right },
        new("wet-shallow", "wet sump whose pressure falls by a tenth to a quarter") { Prone = Prone.Left | Prone.Right, DeepestRatio = (0.77, 0.88) },
        new("dry-sump", "dry sump, healthy") { IsDrySump = true },
        new("clean-wet", "well baffled wet sump, healthy"),
        new("worn", "worn engine: uniformly lower pressure, no event") { Condition = OilCondition.Worn },
        new("thin-oil", "oil far too thin: uniformly lower pressure, no event") { Condition = OilCondition.ThinOil },
        new("aeration", "air in the oil from the middle of the run on") { Condition = OilCondition.Aeration },
        new("pump-failing", "the pump loses delivery in the middle of the run") { Condition = OilCondition.PumpFailing },
        new("pickup-broken", "the pickup breaks in the middle of the run") { Condition = OilCondition.PickupBroken },
        new("relief-open", "the relief valve sticks partly open in the middle of the run") { Condition = OilCondition.ReliefOpen },
        new("faults-pressure", "healthy engine, failing oil-pressure sensor") { FaultyRoles = Pressure },
        new("faults-rpm", "healthy engine, failing engine-speed sensor") { FaultyRoles = EngineSpeed },
        new("faults-g", "healthy engine, failing lateral-acceleration sensor") { FaultyRoles = Lateral },
        new("faults-on-wet", "starvation and failing sensors in one run") { Prone = Prone.Left, FaultyRoles = Mixed },
        new("noisy", "starvation under noise of 2 to 4 % of span") { Prone = Prone.Right, Noise = (0.02, 0.04), DeepestRatio = (0.02, 0.45) },
        new("low-rate", "starvation logged at 10 Hz") { Prone = Prone.Left, RateHz = 10 },
        new("high-rate", "starvation logged at 100 Hz") { Prone = Prone.Right, RateHz = 100 },
        new("mixed-rates", "starvation, every channel at a rate of its own") { Prone = Prone.Left | Prone.Right, MixedRates = true },
        new("no-temperature", "starvation without any temperature channel") { Prone = Prone.Left, WithoutTemperature = true },
        new("cold-start", "healthy engine, started cold in the log") { ColdStart = true },
        new("kerbs", "healthy engine over many kerbs") { KerbsPerLap = 10 },
        new("vacuum-loss", "dry sump that loses its crankcase vacuum") { IsDrySump = true, LosesVacuum = true },
        new("vibration-growth", "healthy oil, vibration that grows during the run") { VibrationGrows = true },
        new("gps-laps", "starvation, laps to be found from GPS") { Prone = Prone.Left, Laps = LapMark.GpsOnly },
        new("beacon-laps", "starvation, laps marked by a beacon") { Prone = Prone.Right, Laps = LapMark.Beacon },
    ];

    /// <summary>The scenario of a name.</summary>
    /// <exception cref="ArgumentException">There is none of that name.</exception>
    public static Scenario Named(string name) =>
        List.FirstOrDefault(scenario => string.Equals(scenario.Name, name, StringComparison.Ordinal))
        ?? throw new ArgumentException($"there is no scenario '{name}'; there are {string.Join(", ", List.Select(s => s.Name))}", nameof(name));
}
