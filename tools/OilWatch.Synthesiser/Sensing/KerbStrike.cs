namespace OilWatch.Synthesiser.Sensing;

/// <summary>A kerb strike: a short burst on the acceleration sensors, no load on the oil.</summary>
/// <param name="AtS">When, s.</param>
/// <param name="SizeG">Height of the burst, g.</param>
/// <param name="ForS">Length, s.</param>
public sealed record KerbStrike(double AtS, double SizeG, double ForS)
{
    /// <summary>What it adds to an acceleration at a time, g: a damped ringing at 18 Hz.</summary>
    public double At(double timeS)
    {
        double since = timeS - AtS;
        return since < 0 || since > ForS ? 0 : SizeG * Math.Sin(2 * Math.PI * 18 * since) * Math.Exp(-2 * since / ForS);
    }
}
