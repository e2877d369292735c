namespace OilWatch.Pressure;

/// <summary>How much running agreed with the healthy model, by engine speed and viscosity.</summary>
/// <remarks>Where nothing agreed, the curve is a guess between what was seen, and its spread must say so.</remarks>
internal sealed class Evidence
{
    private const double SpeedStepRpm = 500;
    private const double RatioStep = 0.3;              // in the logarithm of the viscosity ratio: about ten degrees
    private const int Speeds = 34;
    private const int Ratios = 14;
    private const double Enough = 15;                  // readings that agree and are as good as certainty
    private readonly float[] _counts = new float[Speeds * Ratios];

    /// <summary>Counts a reading that agreed with the model.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="viscosityRatio">ν(T)/ν(100 °C), &gt; 0.</param>
    /// <param name="weight">How much it says.</param>
    public void Add(double speedRpm, double viscosityRatio, double weight) => _counts[Place(speedRpm, viscosityRatio)] += (float)weight;

    /// <summary>1 where nothing was seen, towards 0 where much was.</summary>
    public double Lack(double speedRpm, double viscosityRatio)
    {
        double near = _counts[Place(speedRpm, viscosityRatio)];
        near += 0.3 * _counts[Place(speedRpm - SpeedStepRpm, viscosityRatio)] + 0.3 * _counts[Place(speedRpm + SpeedStepRpm, viscosityRatio)];
        return Math.Exp(-near / Enough);
    }

    private static int Place(double speedRpm, double viscosityRatio)
    {
        int speed = Math.Clamp((int)(speedRpm / SpeedStepRpm), 0, Speeds - 1);
        int ratio = Math.Clamp((int)Math.Floor((Math.Log(Math.Max(viscosityRatio, 0.05)) / RatioStep) + 5), 0, Ratios - 1);
        return (speed * Ratios) + ratio;
    }
}
