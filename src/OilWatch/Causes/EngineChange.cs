namespace OilWatch.Causes;

/// <summary>What changed in the oil system from one run to a later one: the ramp, by which thinner oil and larger clearances lower pressure alike, and the relief valve.</summary>
/// <param name="Ramp">Gain of the ramp against the earlier run at the viscosity of 100 °C.</param>
/// <param name="RampSigma">Standard error of its logarithm.</param>
/// <param name="Relief">Opening pressure of the relief valve against the earlier run.</param>
/// <param name="ReliefSigma">Standard error of its logarithm.</param>
/// <param name="Evidence">Natural logarithm of how much likelier the readings are with a changed valve than with the old one.</param>
internal sealed record EngineChange(double Ramp, double RampSigma, double Relief, double ReliefSigma, double Evidence)
{
    private const double LikeRpm = 150;
    private const double LikeThickness = 0.1;          // logarithm: three degrees
    private const double UsualPower = 0.75;            // of the viscosity: common practice, no source
    private const double LeastKpa = 5;

    /// <summary>Nothing known.</summary>
    public static EngineChange Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Natural logarithm of how much likelier the readings are with a valve that sticks partly open than with one that opens at another pressure, or as it did.</summary>
    public double HoleEvidence { get; init; } = double.NaN;

    /// <summary>Gain of the ramp against the earlier run, were the valve partly open.</summary>
    public double HoleRamp { get; init; } = double.NaN;

    /// <summary>Pressure at idle against the earlier run's, at like engine speed and oil temperature; NaN where the two have no such in common.</summary>
    public double IdleRatio { get; init; } = double.NaN;

    /// <summary>How pressure with the valve shut went, by engine speed and thickness of the oil.</summary>
    public RampShift Shift { get; init; } = RampShift.Unknown;

    /// <summary>Compares two runs.</summary>
    /// <param name="earlier">What the earlier one showed.</param>
    /// <param name="later">What the later one showed.</param>
    /// <param name="fromS">Where the part of the later one begins that counts, s of its log time.</param>
    public static EngineChange Between(PressureMap earlier, PressureMap later, double fromS = double.NegativeInfinity)
    {
        PressureMap.Cell[] before = earlier.Cells(), after = later.Cells(fromS);
        if (ChangeFit.Find(before, after, ChangeFreedom.RampAlone) is not { } same || ChangeFit.Find(before, after, ChangeFreedom.RampAndValve, same.At) is not { } free) return Unknown;
        (double ramp, double rampSigma) = free.Change(ChangeFit.Ramp);
        (double relief, double reliefSigma) = free.Change(ChangeFit.Relief);
        ChangeFound? hole = ChangeFit.Find(before, after, ChangeFreedom.RampAndHole, same.At);
        return new EngineChange(ramp, rampSigma, relief, reliefSigma, same.Loss - free.Loss)
        {
            HoleEvidence = hole is null ? double.NaN : Math.Min(same.Loss, free.Loss) - hole.Loss,
            HoleRamp = hole is null ? double.NaN : hole.Change(ChangeFit.Ramp).Ratio,
            IdleRatio = IdleRatioOf(earlier.IdleCells(), later.IdleCells(fromS)),
            Shift = RampShift.Between(earlier, later, fromS),
        };
    }

    /// <summary>The mean over the regions that both have, each by how well it is known. Small differences of speed and thickness are taken off as far as they are usual.</summary>
    private static double IdleRatioOf(PressureMap.Cell[] before, PressureMap.Cell[] after)
    {
        double sum = 0, weight = 0;
        foreach (PressureMap.Cell later in after)
        {
            if (!(later.PressureKpa > LeastKpa)) continue;
            foreach (PressureMap.Cell earlier in before)
            {
                double thicker = Math.Log(later.Thickness / earlier.Thickness);
                if (Math.Abs(later.SpeedRpm - earlier.SpeedRpm) > LikeRpm || Math.Abs(thicker) > LikeThickness || !(earlier.PressureKpa > LeastKpa)) continue;
                double ratio = later.PressureKpa / earlier.PressureKpa * earlier.SpeedRpm / later.SpeedRpm * Math.Exp(-UsualPower * thicker);
                double counts = 1 / (Math.Pow(later.SigmaKpa / later.PressureKpa, 2) + Math.Pow(earlier.SigmaKpa / earlier.PressureKpa, 2));
                sum += counts * ratio;
                weight += counts;
            }
        }
        return weight > 0 ? sum / weight : double.NaN;
    }
}
