namespace OilWatch.Pressure;

/// <summary>What is left over by engine speed and thickness of the oil together, as a share of expected pressure.</summary>
/// <remarks>A pump that loses its prime only when the oil is hot, a relief valve that opens late when it is cold: neither is a matter of speed or of thickness alone.</remarks>
internal sealed class LocalCorrection
{
    private const double SpeedStepRpm = 400;
    private const double ThicknessStep = 0.25;
    private const int Speeds = 40;
    private const int Thicknesses = 20;
    private const double Nothing = 12;          // readings' worth of "no correction" in each cell
    private const double Largest = 0.12;
    private readonly double[] _sum = new double[Speeds * Thicknesses];
    private readonly double[] _count = new double[Speeds * Thicknesses];
    private readonly double[] _share = new double[Speeds * Thicknesses];

    /// <summary>Takes what one reading leaves over, at an engine speed and the natural logarithm of a thickness.</summary>
    public void Add(double speedRpm, double logarithm, double share, double weight)
    {
        int cell = ((int)(SpeedPlace(speedRpm) + 0.5) * Thicknesses) + (int)(ThicknessPlace(logarithm) + 0.5);
        _sum[cell] += weight * share;
        _count[cell] += weight;
    }

    /// <summary>Settles the corrections once all readings were taken.</summary>
    public void Settle()
    {
        for (int cell = 0; cell < _share.Length; cell++)
            _share[cell] = Math.Clamp(_sum[cell] / (_count[cell] + Nothing), -Largest, Largest);
    }

    /// <summary>The correction at a place, between cells by straight lines.</summary>
    public double At(double speedRpm, double logarithm)
    {
        double row = SpeedPlace(speedRpm), column = ThicknessPlace(logarithm);
        int top = (int)row, left = (int)column;
        double down = row - top, right = column - left;
        int cell = (top * Thicknesses) + left;
        return ((1 - down) * (((1 - right) * _share[cell]) + (right * _share[cell + 1])))
            + (down * (((1 - right) * _share[cell + Thicknesses]) + (right * _share[cell + Thicknesses + 1])));
    }

    private static double SpeedPlace(double speedRpm) => Math.Clamp(speedRpm / SpeedStepRpm, 0, Speeds - 1.501);

    private static double ThicknessPlace(double logarithm) => Math.Clamp((logarithm / ThicknessStep) + 6, 0, Thicknesses - 1.501);
}
