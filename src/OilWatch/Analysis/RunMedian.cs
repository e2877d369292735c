namespace OilWatch.Analysis;

/// <summary>A median of positive values in bounded memory, to one percent: a histogram over their logarithm.</summary>
internal sealed class RunMedian(double least, double most)
{
    private const double Step = 0.01;
    private readonly long[] _counts = new long[(int)Math.Ceiling(Math.Log(most / least) / Step) + 1];
    private long _total;
    private double _last = double.NaN;
    private int _lastBin;

    /// <summary>Takes a value; those outside the range count at its ends.</summary>
    public void Add(double value)
    {
        if (value != _last)
        {
            _last = value;
            _lastBin = Math.Clamp((int)(Math.Log(value / least) / Step), 0, _counts.Length - 1);
        }
        _counts[_lastBin]++;
        _total++;
    }

    /// <summary>The median, or NaN when nothing was added.</summary>
    public double Value
    {
        get
        {
            if (_total == 0) return double.NaN;
            long below = 0;
            int bin = 0;
            while ((below += _counts[bin]) * 2 < _total) bin++;
            return least * Math.Exp((bin + 0.5) * Step);
        }
    }
}
