namespace OilWatch.Frames;

/// <summary>What a first-order lag keeps of its old value over a step, remembered: logs tick evenly, so the exponential is seldom asked for.</summary>
internal struct StepDecay
{
    private double _step;
    private double _kept;

    /// <summary>e^(-step / time).</summary>
    /// <param name="step">The step, s.</param>
    /// <param name="timeS">The lag's time constant, s; the same at each call.</param>
    public double Over(double step, double timeS)
    {
        if (step != _step)
        {
            _step = step;
            _kept = Math.Exp(-step / timeS);
        }
        return _kept;
    }
}
