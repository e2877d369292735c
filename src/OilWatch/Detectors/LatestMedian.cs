using System.Runtime.CompilerServices;
using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The middle one of the readings of the last seven tenths of a second: what a loose connection leaves of the truth.</summary>
/// <remarks>A median stands as long as fewer than half of the readings are off to one side of the truth (Tukey's running median; its breakdown point is one half).</remarks>
internal struct LatestMedian
{
    private const int Most = 64;
    private const int Least = 5;                         // slower than 10 Hz: the latest five, however old up to OldestS
    private const double WindowS = 0.7;
    private const double OldestS = 2;
    private Times _times;
    private Values _values;
    private int _next;
    private int _count;

    /// <summary>Takes a reading.</summary>
    public void Add(LogTime at, double value)
    {
        if (_count > 0 && at.SecondsSince(_times[(_next + Most - 1) % Most]) > OldestS) _count = 0;
        _times[_next] = at;
        _values[_next] = value;
        _next = (_next + 1) % Most;
        if (_count < Most) _count++;
    }

    /// <summary>The median at an instant, or NaN before anything was read.</summary>
    public readonly double At(LogTime at)
    {
        Span<double> sorted = stackalloc double[Most];
        int taken = 0;
        for (int back = 1; back <= _count; back++)
        {
            int i = (_next + Most - back) % Most;
            double age = at.SecondsSince(_times[i]);
            if (age > OldestS || (age > WindowS && taken >= Least)) break;
            int place = taken++;
            for (; place > 0 && sorted[place - 1] > _values[i]; place--) sorted[place] = sorted[place - 1];
            sorted[place] = _values[i];
        }
        if (taken == 0) return double.NaN;
        return 0.5 * (sorted[(taken - 1) / 2] + sorted[taken / 2]);
    }

    [InlineArray(Most)]
    private struct Times
    {
        private LogTime _first;
    }

    [InlineArray(Most)]
    private struct Values
    {
        private double _first;
    }
}
