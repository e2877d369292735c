namespace OilWatch.Synthesiser.Maths;

/// <summary>A first-order lag stepped exactly: right for any ratio of step to time constant.</summary>
/// <param name="timeConstantS">Time constant, s, &gt;= 0; 0 passes the input through.</param>
/// <param name="stepS">Step, s, &gt; 0.</param>
public struct FirstOrderLag(double timeConstantS, double stepS)
{
    private readonly double _gain = timeConstantS > 0 ? 1 - Math.Exp(-stepS / timeConstantS) : 1;
    private double _value = double.NaN;

    /// <summary>The output after one step with this input; the first input sets it.</summary>
    public double Step(double input) => _value = double.IsNaN(_value) ? input : _value + ((input - _value) * _gain);
}
