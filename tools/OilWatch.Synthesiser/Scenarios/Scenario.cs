using OilWatch.Synthesiser.Oil;

namespace OilWatch.Synthesiser.Scenarios;

/// <summary>What kind of run to make; the seed settles the rest.</summary>
/// <param name="Name">Its name on the command line.</param>
/// <param name="Summary">What it holds, in one sentence.</param>
public sealed record Scenario(string Name, string Summary)
{
    /// <summary>True for a dry sump, whose pickup is always covered.</summary>
    public bool IsDrySump { get; init; }

    /// <summary>Which loads uncover the pickup.</summary>
    public Prone Prone { get; init; }

    /// <summary>How deep pressure falls, as the ratio to healthy that full uncovering is set for.</summary>
    public (double From, double To) DeepestRatio { get; init; } = (0.02, 0.6);

    /// <summary>A lasting problem.</summary>
    public OilCondition Condition { get; init; }

    /// <summary>Roles whose sensors fail during the run.</summary>
    public IReadOnlyList<string> FaultyRoles { get; init; } = [];

    /// <summary>Noise of pressure and acceleration, share of the sensor's span.</summary>
    public (double From, double To) Noise { get; init; } = (0.003, 0.01);

    /// <summary>Sampling rate, Hz.</summary>
    public double RateHz { get; init; } = 20;

    /// <summary>True when each channel has a rate of its own.</summary>
    public bool MixedRates { get; init; }

    /// <summary>True when no temperature is logged.</summary>
    public bool WithoutTemperature { get; init; }

    /// <summary>True when the log begins with a cold engine that is started in it.</summary>
    public bool ColdStart { get; init; }

    /// <summary>Kerb strikes a lap, on average.</summary>
    public double KerbsPerLap { get; init; } = 1.5;

    /// <summary>How laps are marked in the log.</summary>
    public LapMark Laps { get; init; } = LapMark.LapNumber;

    /// <summary>True when crankcase vacuum is lost during the run.</summary>
    public bool LosesVacuum { get; init; }

    /// <summary>True when vibration grows during the run.</summary>
    public bool VibrationGrows { get; init; }

    /// <summary>Probability of a pit stop in the middle of the run, and of a spin with the engine stalled.</summary>
    public double StopProbability { get; init; } = 0.25;
}
