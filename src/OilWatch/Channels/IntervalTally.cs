namespace OilWatch.Channels;

/// <summary>Counts times between readings in steps of equal ratio, 1 µs to 1000 s, with the sum in each step.</summary>
/// <remarks>The mean of a step stands for its members, so evenly spaced readings give their interval exactly.</remarks>
internal sealed class IntervalTally(int stepsPerDecade)
{
    private const int Decades = 9;
    private const double ShortestNs = 1e3;

    private (long Count, double SumS)[] _steps = [];
    private long _lastNs;
    private int _lastStep;

    /// <summary>The middle interval, s: the mean of the step that holds it; NaN without intervals.</summary>
    public double MedianS
    {
        get
        {
            long all = 0;
            foreach ((long count, _) in _steps) all += count;
            long before = 0;
            foreach ((long count, double sumS) in _steps)
            {
                before += count;
                if (count > 0 && 2 * before >= all) return sumS / count;
            }
            return double.NaN;
        }
    }

    public void Add(long nanoseconds)
    {
        if (_steps.Length == 0) _steps = new (long, double)[(Decades * stepsPerDecade) + 1];
        if (nanoseconds != _lastNs)                 // mostly it is the one before
        {
            double place = Math.Log10(Math.Max(nanoseconds, ShortestNs) / ShortestNs) * stepsPerDecade;
            _lastStep = Math.Min((int)place, _steps.Length - 1);
            _lastNs = nanoseconds;
        }
        ref (long Count, double SumS) step = ref _steps[_lastStep];
        step.Count++;
        step.SumS += nanoseconds / 1e9;
    }

    /// <summary>Intervals in steps whose mean is longer than <paramref name="limitS"/>, and their seconds in all.</summary>
    public (long Count, double SumS) LongerThan(double limitS)
    {
        long longer = 0;
        double seconds = 0;
        foreach ((long count, double sumS) in _steps)
        {
            if (count == 0 || sumS / count <= limitS) continue;
            longer += count;
            seconds += sumS;
        }
        return (longer, seconds);
    }
}
