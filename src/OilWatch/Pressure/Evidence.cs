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
    private const double MoreThanEnough = 40 * Enough; // e^-40 of a spread is nothing
    private readonly float[] _counts = new float[Speeds * Ratios];

    /// <summary>Counts a reading that agreed with the model.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="logarithm">The natural logarithm of how thick the oil is against hot oil.</param>
    /// <param name="weight">How much it says.</param>
    public void Add(double speedRpm, double logarithm, double weight) => _counts[(SpeedRow(speedRpm) * Ratios) + RatioColumn(logarithm)] += (float)weight;

    /// <summary>1 where nothing was seen, towards 0 where much was.</summary>
    public double Lack(double speedRpm, double logarithm)
    {
        int column = RatioColumn(logarithm);
        double near = _counts[(SpeedRow(speedRpm) * Ratios) + column];
        near += 0.3 * _counts[(SpeedRow(speedRpm - SpeedStepRpm) * Ratios) + column] + 0.3 * _counts[(SpeedRow(speedRpm + SpeedStepRpm) * Ratios) + column];
        return near > MoreThanEnough ? 0 : Math.Exp(-near / Enough);
    }

    private static int SpeedRow(double speedRpm) => Math.Clamp((int)(speedRpm / SpeedStepRpm), 0, Speeds - 1);

    private static int RatioColumn(double logarithm) => Math.Clamp((int)Math.Floor((logarithm / RatioStep) + 5), 0, Ratios - 1);
}
