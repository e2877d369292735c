namespace OilWatch.Synthesiser.Oil;

/// <summary>One damped mode that follows an acceleration: x'' + 2ζω x' + ω² x = ω² a.</summary>
/// <param name="frequencyHz">Natural frequency, Hz.</param>
/// <param name="damping">Share of critical damping.</param>
/// <param name="stepS">Step, s, well under 1 / (2π · frequency).</param>
public struct SloshMode(double frequencyHz, double damping, double stepS)
{
    private readonly double _omega = 2 * Math.PI * frequencyHz;
    private double _place = 0;
    private double _rate = 0;

    /// <summary>The mode after one step, in the input's unit (semi-implicit Euler, which keeps the mode stable).</summary>
    public double Step(double acceleration)
    {
        _rate += stepS * ((_omega * _omega * (acceleration - _place)) - (2 * damping * _omega * _rate));
        return _place += stepS * _rate;
    }
}
