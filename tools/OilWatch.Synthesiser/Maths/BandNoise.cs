namespace OilWatch.Synthesiser.Maths;

/// <summary>Low-passed white noise of standard deviation 1 (an Ornstein-Uhlenbeck process, stepped exactly).</summary>
/// <param name="random">Where its numbers come from.</param>
/// <param name="correlationS">Correlation time, s, &gt; 0.</param>
/// <param name="stepS">Step, s, &gt; 0.</param>
public sealed class BandNoise(SeededRandom random, double correlationS, double stepS)
{
    private readonly double _keep = Math.Exp(-stepS / correlationS);
    private double _value = random.Normal();

    /// <summary>The next value.</summary>
    public double Next() => _value = (_value * _keep) + (Math.Sqrt(1 - (_keep * _keep)) * random.Normal());
}
