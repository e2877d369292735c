using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>What a <see cref="ChangeFit"/> found.</summary>
/// <param name="At">Its parameters.</param>
/// <param name="Loss">Negative logarithm of their likelihood, but for a constant.</param>
/// <param name="Normal">The normal equations there: the inverse of their covariance.</param>
internal sealed record ChangeFound(double[] At, double Loss, double[,] Normal)
{
    /// <summary>A change that is fitted as a logarithm, as a ratio, and the standard error of its logarithm.</summary>
    public (double Ratio, double Sigma) Change(int parameter)
    {
        var unit = new double[At.Length];
        unit[parameter] = 1;
        return (Math.Exp(At[parameter]), NormalEquations.Solve(Normal, unit, damping: 0) is { } column ? Math.Sqrt(column[parameter]) : double.NaN);
    }
}
