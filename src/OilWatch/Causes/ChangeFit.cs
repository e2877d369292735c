using System.Runtime.InteropServices;
using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>Fits one <see cref="FlowBalance"/> to what calm running showed before and after a change together, in which only what the change allows may differ.</summary>
/// <remarks>
/// Cells in which the valve is shut tell the ramp; all in which it is open, at any temperature, tell the valve, also where no plateau is reached.
/// </remarks>
internal sealed class ChangeFit
{
    /// <summary>The ramp among the parameters.</summary>
    public const int Ramp = 7;

    /// <summary>The relief pressure among the parameters.</summary>
    public const int Relief = 8;

    /// <summary>The delivery among the parameters.</summary>
    public const int Delivery = 9;

    private const int Parameters = 15;
    /// <summary>The share of delivery that froth takes at the highest speed among the parameters.</summary>
    public const int Froth = 13;

    /// <summary>What passes orifices more than before among the parameters.</summary>
    public const int Orifice = 14;

    private const int Second = 11;
    private const int SecondShare = 12;
    private const double UsualSecond = 0.3;            // the second stage opens at 1.25 to 1.5 times the pressure of the first: common practice, no source
    private const double SecondSpread = 0.1;
    private const double LeastDelivery = 0.05;
    private const double Hole = 0.1;
    private const int LeastBefore = 12;
    private const int LeastAfter = 5;
    private const int MostSteps = 60;
    private const int MostTries = 8;
    private const double FarSigma = 4;                 // further off a cell counts ever less: Cauchy's loss
    private const double LittleGain = 1e-3;
    private const double FallsOffShare = 0.78;         // of the highest speed driven
    private const double UsualPower = 0.75;

    // The flow balance before (logarithm of the gain, power, relief, logarithms of valve flow and softness, jet, fall-off), then what changed
    // (logarithms of ramp, relief and delivery, power). What is expected of them where nothing shows them is common practice, no source.
    private static readonly double[] Steps = [1e-3, 1e-3, 0.3, 1e-2, 1e-2, 1e-4, 1e-4, 1e-3, 1e-3, 1e-3, 1e-3, 1e-3, 1e-2, 1e-3, 1e-4];
    private static readonly double[] StartsOfTop = [0.9, 1.15];
    private static readonly double[] StartsOfChange = [-0.2, -0.9];
    private static readonly double[] StartsOfSecond = [0.002, 1];
    private const double Far = 0.1;
    private readonly PressureMap.Cell[] _before;
    private readonly PressureMap.Cell[] _after;
    private readonly double[] _centre;
    private readonly double[] _spread;
    private readonly double _topKpa;
    private readonly int _free;                        // what may change far, or -1
    private readonly double _topRpm;
    private readonly double _fallsOffRpm;

    private ChangeFit(PressureMap.Cell[] before, PressureMap.Cell[] after, in ChangeFreedom freedom)
    {
        (_before, _after) = (before, after);
        _topKpa = Quantile(before.Select(cell => cell.PressureKpa), 0.9);
        double topRpm = before.Concat(after).Max(cell => cell.SpeedRpm);
        _topRpm = topRpm;
        _fallsOffRpm = FallsOffShare * topRpm;
        double gain = Quantile(before.Select(cell => cell.PressureKpa / (cell.SpeedRpm / 1000 * Math.Pow(cell.Thickness, UsualPower))), 0.8);
        _centre = [Math.Log(gain), UsualPower, _topKpa, Math.Log(topRpm / 1000 / (0.3 * _topKpa)), Math.Log(15), 0, 0, freedom.UsualRamp, 0, 0, 0, UsualSecond, 0, 0, 0];
        _spread = [1.5, 0.15, 0.3 * _topKpa, 1, 0.8, 0.015, 0.03, freedom.Ramp, freedom.Relief, freedom.Delivery, freedom.Power, SecondSpread, 1, freedom.Froth, freedom.Orifice];
        _free = freedom.Relief > Far ? Relief : freedom.Delivery > Far ? Delivery : freedom.Froth > Far ? Froth : freedom.Orifice >= Far ? Orifice : -1;
    }

    /// <summary>The likeliest change; null where there is too little to tell.</summary>
    /// <param name="before">What calm running showed before.</param>
    /// <param name="after">And after.</param>
    /// <param name="freedom">What may have changed.</param>
    /// <param name="also">Where to begin too; null for nowhere else.</param>
    public static ChangeFound? Find(PressureMap.Cell[] before, PressureMap.Cell[] after, in ChangeFreedom freedom, double[]? also = null)
    {
        if (before.Length < LeastBefore || after.Length < LeastAfter) return null;
        var fit = new ChangeFit(before, after, in freedom);
        return fit.Starts(also).Select(fit.Search).Where(found => double.IsFinite(found.Loss)).MinBy(found => found.Loss);
    }

    /// <summary>Where to begin: most of what was before on the plateau, or none of it; and what may change far by little or by much.</summary>
    private IEnumerable<double[]> Starts(double[]? also)
    {
        foreach (double share in StartsOfTop)
        {
            foreach (double change in _free < 0 ? [0] : StartsOfChange)
            {
                foreach (double second in StartsOfSecond)
                {
                    double[] at = [.. _centre];
                    at[2] = share * _topKpa * (second > 0.5 ? Math.Exp(-UsualSecond) : 1);
                    at[5] = at[6] = 0.002;
                    if (_free >= 0) at[_free] = _free == Froth ? 1 - Math.Exp(change) : _free == Orifice ? -Hole * change : change;
                    at[SecondShare] = second;
                    yield return at;
                }
            }
        }
        if (also is null) yield break;
        yield return also;
    }

    /// <summary>Damped Gauss-Newton with weights renewed at each step. Source: D. W. Marquardt, J. SIAM 11 (1963) 431.</summary>
    private ChangeFound Search(double[] start)
    {
        double[] at = [.. start];
        double[] apart = Apart(at);
        double loss = Loss(apart, at), damping = 1e-2;
        var normal = new double[Parameters, Parameters];
        var gradient = new double[Parameters];
        for (int step = 0; step < MostSteps; step++)
        {
            Linearise(at, apart, normal, gradient);
            double gained = 0;
            for (int attempt = 0; attempt < MostTries && gained <= 0; attempt++)
            {
                double[] tried = [.. at];
                if (NormalEquations.Solve(normal, gradient, damping) is { } move)
                    for (int i = 0; i < Parameters; i++) tried[i] += move[i];
                double[] left = Apart(tried);
                double triedLoss = Loss(left, tried);
                if (triedLoss < loss) (gained, at, apart, loss, damping) = (loss - triedLoss, tried, left, triedLoss, Math.Max(0.3 * damping, 1e-6));
                else damping *= 5;
            }
            if (gained < LittleGain) break;
        }
        Linearise(at, apart, normal, gradient);
        return new ChangeFound(at, loss, normal);
    }

    private void Linearise(double[] at, double[] apart, double[,] normal, double[] gradient)
    {
        var slopes = new double[Parameters][];
        for (int i = 0; i < Parameters; i++)
        {
            double[] moved = [.. at];
            moved[i] += Steps[i];
            slopes[i] = Apart(moved);
            for (int k = 0; k < apart.Length; k++) slopes[i][k] = (apart[k] - slopes[i][k]) / Steps[i];
        }
        for (int i = 0; i < Parameters; i++)
        {
            double information = 1 / (_spread[i] * _spread[i]);
            gradient[i] = information * (_centre[i] - at[i]);
            for (int k = 0; k < apart.Length; k++) gradient[i] += WeightOf(apart[k]) * slopes[i][k] * apart[k];
            for (int j = 0; j <= i; j++)
            {
                double sum = i == j ? information : 0;
                for (int k = 0; k < apart.Length; k++) sum += WeightOf(apart[k]) * slopes[i][k] * slopes[j][k];
                normal[i, j] = normal[j, i] = sum;
            }
        }
    }

    private static double WeightOf(double apart) => 1 / (1 + (apart * apart / (FarSigma * FarSigma)));

    private double Loss(double[] apart, double[] at)
    {
        double loss = 0;
        foreach (double one in apart) loss -= 0.5 * FarSigma * FarSigma * Math.Log(WeightOf(one));
        for (int i = 0; i < Parameters; i++) loss += 0.5 * Math.Pow((at[i] - _centre[i]) / _spread[i], 2);
        return loss;
    }

    /// <summary>How far each cell stands off, in its standard deviations.</summary>
    private double[] Apart(double[] at)
    {
        var earlier = new FlowBalance
        {
            GainKpa = Math.Exp(at[0]),
            Power = at[1],
            ReliefKpa = at[2],
            ValveFlow = Math.Exp(at[3]),
            SoftnessKpa = Math.Exp(at[4]),
            SecondKpa = at[2] * Math.Exp(Math.Max(at[Second], 0)),
            SecondShare = Math.Max(0, at[SecondShare]),
            Jet = Math.Max(0, at[5]),
            FallOff = Math.Max(0, at[6]),
            FallsOffFromRpm = _fallsOffRpm,
        };
        FlowBalance later = earlier with { GainKpa = Math.Exp(at[0] + at[Ramp]), ReliefKpa = at[2] * Math.Exp(at[Relief]), Power = at[1] + at[10], Jet = Math.Max(0, at[5]) + Math.Max(0, at[Orifice]) };
        double delivery = Math.Exp(at[Delivery]), froth = at[Froth] / _topRpm;
        var apart = new double[_before.Length + _after.Length];
        for (int i = 0; i < _before.Length; i++) apart[i] = Off(in earlier, in _before[i], 1);
        for (int i = 0; i < _after.Length; i++) apart[_before.Length + i] = Off(in later, in _after[i], delivery * Math.Max(LeastDelivery, 1 - (froth * _after[i].SpeedRpm)));
        return apart;
    }

    private static double Off(in FlowBalance balance, in PressureMap.Cell cell, double delivery) =>
        (cell.PressureKpa - balance.PressureKpa(cell.SpeedRpm, cell.Thickness, delivery)) / cell.SigmaKpa;

    private static double Quantile(IEnumerable<double> values, double share) => Robust.Quantile(CollectionsMarshal.AsSpan(values.ToList()), share);
}
