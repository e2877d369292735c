namespace OilWatch.Causes;

/// <summary>What changed in the oil system from one run to a later one: the ramp, by which thinner oil and larger clearances lower pressure alike, and the relief valve.</summary>
/// <param name="Ramp">Gain of the ramp against the earlier run at the viscosity of 100 °C.</param>
/// <param name="RampSigma">Standard error of its logarithm.</param>
/// <param name="Relief">Opening pressure of the relief valve against the earlier run.</param>
/// <param name="ReliefSigma">Standard error of its logarithm.</param>
/// <param name="Evidence">Natural logarithm of how much likelier the readings are with a changed valve than with the old one.</param>
internal sealed record EngineChange(double Ramp, double RampSigma, double Relief, double ReliefSigma, double Evidence)
{
    /// <summary>Nothing known.</summary>
    public static EngineChange Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Natural logarithm of how much likelier the readings are with a valve that sticks partly open than with one that opens at another pressure, or as it did.</summary>
    public double HoleEvidence { get; init; } = double.NaN;

    /// <summary>Gain of the ramp against the earlier run, were the valve partly open.</summary>
    public double HoleRamp { get; init; } = double.NaN;

    /// <summary>Compares two runs.</summary>
    public static EngineChange Between(PressureMap earlier, PressureMap later)
    {
        PressureMap.Cell[] before = earlier.Cells(), after = later.Cells();
        if (ChangeFit.Find(before, after, ChangeFreedom.RampAlone) is not { } same || ChangeFit.Find(before, after, ChangeFreedom.RampAndValve, same.At) is not { } free) return Unknown;
        (double ramp, double rampSigma) = free.Change(ChangeFit.Ramp);
        (double relief, double reliefSigma) = free.Change(ChangeFit.Relief);
        ChangeFound? hole = ChangeFit.Find(before, after, ChangeFreedom.RampAndHole, same.At);
        return new EngineChange(ramp, rampSigma, relief, reliefSigma, same.Loss - free.Loss)
        {
            HoleEvidence = hole is null ? double.NaN : Math.Min(same.Loss, free.Loss) - hole.Loss,
            HoleRamp = hole is null ? double.NaN : hole.Change(ChangeFit.Ramp).Ratio,
        };
    }
}
