namespace OilWatch.Causes;

/// <summary>How thick the oil was at the thickest for long enough, in bounded memory.</summary>
internal sealed class ThickestOil
{
    /// <summary>Engine speed from which it counts, rpm.</summary>
    public const double AboveRpm = 2500;

    private const double LongEnoughS = 10;
    private const double Step = 0.1;                   // of the logarithm: three degrees
    private const int Bins = 64;                       // a fifth of 100 °C to more than a hundred times it
    private static readonly double Least = Math.Log(0.2);
    private readonly double[] _seconds = new double[Bins];

    /// <summary>Takes how thick it is, against 100 °C, and for how long, s.</summary>
    public void Add(double ratio, double seconds) => _seconds[Math.Clamp((int)((Math.Log(ratio) - Least) / Step), 0, Bins - 1)] += seconds;

    /// <summary>The thickness that was reached or passed for ten seconds; NaN when none was.</summary>
    public double Ratio
    {
        get
        {
            double above = 0;
            for (int bin = Bins - 1; bin >= 0; bin--)
                if ((above += _seconds[bin]) >= LongEnoughS) return Math.Exp(Least + (bin * Step));
            return double.NaN;
        }
    }
}
