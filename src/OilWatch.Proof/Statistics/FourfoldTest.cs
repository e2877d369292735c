namespace OilWatch.Proof.Statistics;

/// <summary>Exact tests of fourfold tables, one or several strata, given all margins.</summary>
/// <remarks>
/// With one stratum this is Fisher's exact test. With several the statistic is the sum of the upper left cells, its null distribution the
/// convolution of the strata's hypergeometric distributions. Two-sided p: the sum over outcomes no likelier than the one seen. The odds ratio is the
/// conditional maximum-likelihood estimate and its limits invert the one-sided tests. Sources: R. A. Fisher, The Design of Experiments (1935);
/// J. J. Gart, Biometrika 57 (1970) 471.
/// </remarks>
public sealed class FourfoldTest
{
    private readonly double[] _logNull;       // log probability of the sum, from the least possible sum upward, odds ratio 1
    private readonly int _least;
    private readonly int _seen;

    /// <summary>Takes tables of counts a, b in the first row and c, d in the second.</summary>
    /// <param name="tables">At least one.</param>
    /// <exception cref="ArgumentException">No table, or a negative count.</exception>
    public FourfoldTest(params ReadOnlySpan<(int A, int B, int C, int D)> tables)
    {
        if (tables.IsEmpty) throw new ArgumentException("There is at least one table.", nameof(tables));
        double[] sum = [1];
        foreach ((int a, int b, int c, int d) in tables)
        {
            if (a < 0 || b < 0 || c < 0 || d < 0) throw new ArgumentException("Counts are 0 or more.", nameof(tables));
            sum = Convolve(sum, Hypergeometric(a, b, c, d, out int least));
            _least += least;
            _seen += a;
        }
        _logNull = Array.ConvertAll(sum, Math.Log);
    }

    /// <summary>Probabilities of the upper left sum if rows and columns were unrelated, from the least possible sum upward.</summary>
    public IReadOnlyList<double> Null => Array.ConvertAll(_logNull, Math.Exp);

    /// <summary>One-sided p: this upper left sum or more.</summary>
    public double Greater => Upper(1, _seen);

    /// <summary>One-sided p: this upper left sum or less.</summary>
    public double Less => Lower(1, _seen);

    /// <summary>Two-sided p: the sum over outcomes no likelier than the one seen.</summary>
    public double TwoSided
    {
        get
        {
            double limit = Math.Exp(_logNull[_seen - _least]) * (1 + 1e-7);
            return Math.Min(1, _logNull.Sum(l => Math.Exp(l) <= limit ? Math.Exp(l) : 0));
        }
    }

    /// <summary>Conditional maximum-likelihood odds ratio, 0 to infinity.</summary>
    public double OddsRatio =>
        _logNull.Length == 1 ? double.NaN :
        _seen == _least ? 0 :
        _seen == _least + _logNull.Length - 1 ? double.PositiveInfinity :
        Solve(odds => Mean(odds) - _seen);

    /// <summary>Exact limits of the odds ratio.</summary>
    /// <param name="confidence">Share, such as 0.95.</param>
    public Limits OddsRatioLimits(double confidence = 0.95)
    {
        Confidence.Check(confidence);
        double tail = (1 - confidence) / 2;
        return new(
            _seen == _least ? 0 : Solve(odds => Upper(odds, _seen) - tail),
            _seen == _least + _logNull.Length - 1 ? double.PositiveInfinity : Solve(odds => tail - Lower(odds, _seen)));
    }

    private static double[] Hypergeometric(int a, int b, int c, int d, out int least)
    {
        int row = a + b, column = a + c, all = a + b + c + d;
        least = Math.Max(0, row + column - all);
        int most = Math.Min(row, column);
        var p = new double[most - least + 1];
        for (int k = least; k <= most; k++)
        {
            p[k - least] = Math.Exp(
                LogChoose(column, k) + LogChoose(all - column, row - k) - LogChoose(all, row));
        }
        return p;
    }

    private static double LogChoose(int n, int k) => MathNet.Numerics.SpecialFunctions.BinomialLn(n, k);

    private static double[] Convolve(double[] a, double[] b)
    {
        var sum = new double[a.Length + b.Length - 1];
        for (int i = 0; i < a.Length; i++)
        {
            for (int j = 0; j < b.Length; j++) sum[i + j] += a[i] * b[j];
        }
        return sum;
    }

    private double Mean(double odds)
    {
        (double mass, double moment) = (0, 0);
        Tilted(odds, (k, p) => { mass += p; moment += k * p; });
        return moment / mass;
    }

    private double Upper(double odds, int from)
    {
        (double mass, double tail) = (0, 0);
        Tilted(odds, (k, p) => { mass += p; if (k >= from) tail += p; });
        return tail / mass;
    }

    private double Lower(double odds, int to)
    {
        (double mass, double tail) = (0, 0);
        Tilted(odds, (k, p) => { mass += p; if (k <= to) tail += p; });
        return tail / mass;
    }

    private void Tilted(double odds, Action<int, double> each)
    {
        double log = Math.Log(odds), top = double.NegativeInfinity;
        for (int i = 0; i < _logNull.Length; i++) top = Math.Max(top, _logNull[i] + (i * log));
        for (int i = 0; i < _logNull.Length; i++) each(_least + i, Math.Exp(_logNull[i] + (i * log) - top));
    }

    /// <summary>Root in the odds ratio of a rising function, by bisection on its logarithm.</summary>
    private static double Solve(Func<double, double> rising)
    {
        double low = -40, high = 40;
        for (int i = 0; i < 120; i++)
        {
            double middle = 0.5 * (low + high);
            if (rising(Math.Exp(middle)) < 0) low = middle;
            else high = middle;
        }
        return Math.Exp(0.5 * (low + high));
    }
}
