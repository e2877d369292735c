namespace OilWatch.Detectors;

/// <summary>Decision limits of the <see cref="SequentialTest"/> by how many spreads the reference is, worked out once.</summary>
internal sealed class DecisionLimits
{
    private const double StepSpreads = 0.1;
    private readonly double[] _limits = new double[64];

    /// <param name="readings">Readings between false calls, &gt; 1.</param>
    public DecisionLimits(double readings)
    {
        for (int i = 0; i < _limits.Length; i++) _limits[i] = SequentialTest.DecisionFor(Math.Max(StepSpreads * i, StepSpreads), readings);
    }

    /// <summary>The limit, in spreads, for a reference; beyond the largest that is held, the limit of that.</summary>
    public double At(double reference, double spread) => _limits[Math.Min((int)(10 * reference / spread), _limits.Length - 1)];
}
