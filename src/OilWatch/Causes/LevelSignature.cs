using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>How high this run's healthy pressure stands at the run's own oil temperature. NaN where it is not known.</summary>
/// <param name="PerThousandRpmKpa">At 4000 rpm and the viscosity of 100 °C, kPa for each 1000 rpm.</param>
/// <param name="LowRatio">Against the reference at 2000 rpm.</param>
/// <param name="MiddleRatio">Against the reference at two thirds of the highest speed.</param>
/// <param name="TopRatio">Against the reference near the highest speed.</param>
/// <param name="ReferenceName">The reference's name, or null without one.</param>
internal sealed record LevelSignature(
    double PerThousandRpmKpa, double LowRatio, double MiddleRatio, double TopRatio, string? ReferenceName)
{
    private const double NearTop = 0.97;
    private const double ReferenceRpm = 4000;
    private const double LowRpm = 2000;

    /// <summary>What changed in the oil system since the reference.</summary>
    public EngineChange Change { get; init; } = EngineChange.Unknown;

    /// <summary>False where this run's curve was learned without oil temperature: what heat does to the curve is then partly left in it.</summary>
    public bool KnowsTemperature { get; init; } = true;

    /// <summary>At 2000 rpm and the viscosity of 100 °C, kPa for each 1000 rpm.</summary>
    public double LowPerThousandRpmKpa { get; init; } = double.NaN;

    /// <summary>The same near the highest speed driven.</summary>
    public double TopPerThousandRpmKpa { get; init; } = double.NaN;

    /// <summary>Power of engine speed with which pressure rises from half of that speed to it: 0 where a relief valve holds it.</summary>
    public double TopPower { get; init; } = double.NaN;

    /// <summary>Pressure for each 1000 rpm at idle, against that at 2000 rpm and the same thickness of the oil.</summary>
    public double IdleShare { get; init; } = double.NaN;

    /// <summary>Nothing known.</summary>
    public static LevelSignature Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, null);

    /// <summary>Measures the level of a run's own curve.</summary>
    /// <param name="own">What this run showed.</param>
    /// <param name="reference">What the engine showed before, or null.</param>
    /// <param name="fromS">Where the part of this run begins that is held against the reference, s of log time: where something changed, from there on.</param>
    public static LevelSignature Of(HealthyReference own, HealthyReference? reference, double fromS = double.NegativeInfinity)
    {
        double level = own.TopRpm >= ReferenceRpm ? own.Curve.At(ReferenceRpm, 1) / (ReferenceRpm / 1000) : double.NaN;
        double top = NearTop * own.TopRpm, highest = own.Curve.At(top, 1);
        LevelSignature alone = Unknown with
        {
            PerThousandRpmKpa = level,
            KnowsTemperature = own.KnowsTemperature,
            LowPerThousandRpmKpa = own.Curve.At(LowRpm, 1) / (LowRpm / 1000),
            TopPerThousandRpmKpa = highest / (top / 1000),
            IdleShare = own.Map is { } map ? IdleShareOf(map, own.Curve) : double.NaN,
            TopPower = Math.Log2(highest / own.Curve.At(0.5 * top, 1)),
        };
        if (reference is not { KnowsTemperature: true } || !own.KnowsTemperature) return alone;
        top = NearTop * Math.Min(own.TopRpm, reference.TopRpm);
        double ratio(double rpm) => own.Curve.At(rpm, 1) / reference.Curve.At(rpm, 1);
        return top < 1.5 * LowRpm
            ? alone
            : alone with
            {
                LowRatio = ratio(LowRpm),
                MiddleRatio = ratio(top * 2 / 3),
                TopRatio = ratio(top),
                ReferenceName = reference.Name,
                Change = own.Map is { } later && reference.Map is { } earlier ? EngineChange.Between(earlier, later, fromS) : EngineChange.Unknown,
            };
    }

    private static double IdleShareOf(PressureMap map, PressureCurve curve)
    {
        double sum = 0, weight = 0;
        foreach (PressureMap.Cell cell in map.IdleCells())
        {
            double counts = Math.Pow(cell.PressureKpa / cell.SigmaKpa, 2);
            sum += counts * cell.PressureKpa / cell.SpeedRpm / (curve.At(LowRpm, cell.Thickness) / LowRpm);
            weight += counts;
        }
        return weight > 0 ? sum / weight : double.NaN;
    }
}
