namespace OilWatch.Synthesiser.Driving;

/// <summary>How the car moved: arrays of one length at an even step.</summary>
public sealed class Drive
{
    internal Drive(int count)
    {
        DistanceM = new double[count];
        SpeedMs = new double[count];
        LateralG = new double[count];
        LongitudinalG = new double[count];
        EngineRuns = new bool[count];
        Lap = new int[count];
        LapDistanceM = new double[count];
    }

    /// <summary>Distance driven since the line before the log began, m.</summary>
    public double[] DistanceM { get; }

    /// <summary>Speed, m/s.</summary>
    public double[] SpeedMs { get; }

    /// <summary>Lateral acceleration of the chassis, g, positive in a left-hand corner.</summary>
    public double[] LateralG { get; }

    /// <summary>Longitudinal acceleration of the chassis, g, positive when gaining speed.</summary>
    public double[] LongitudinalG { get; }

    /// <summary>False where the engine is switched off or stalled.</summary>
    public bool[] EngineRuns { get; }

    /// <summary>Lap number: 0 for the out lap.</summary>
    public int[] Lap { get; }

    /// <summary>Distance since the line, m.</summary>
    public double[] LapDistanceM { get; }

    /// <summary>When the car stood still, s from the log's zero, and whether because of a spin.</summary>
    public List<(double FromS, double ToS, bool IsSpin)> Stood { get; } = [];
}
