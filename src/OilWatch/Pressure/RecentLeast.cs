using System.Runtime.CompilerServices;

namespace OilWatch.Pressure;

/// <summary>The least expected pressure of the last moments: while engine speed leaps up, pressure may still be on its way.</summary>
internal struct RecentLeast
{
    private const double WindowS = 0.15;
    private const double Intervals = 1.5;
    private const int Kept = 64;
    private Values _values;
    private Instants _instants;
    private int _next;
    private int _held;
    private LogTime _last;

    /// <summary>Takes an expected pressure, kPa, and gives the least one of the window.</summary>
    public double Step(LogTime at, double expectedKpa)
    {
        double step = _held == 0 ? 0 : at.SecondsSince(_last);
        if (step > 1) _held = 0;
        _last = at;
        _values[_next] = expectedKpa;
        _instants[_next] = at.Nanoseconds;
        _next = (_next + 1) % Kept;
        _held = Math.Min(_held + 1, Kept);
        double window = WindowS + (Intervals * Math.Min(step, 0.1));
        double least = expectedKpa;
        for (int i = 2; i <= _held; i++)
        {
            int place = (_next - i + (2 * Kept)) % Kept;
            if ((at.Nanoseconds - _instants[place]) / 1e9 > window) break;
            least = Math.Min(least, _values[place]);
        }
        return least;
    }

    [InlineArray(Kept)]
    private struct Values
    {
        private double _first;
    }

    [InlineArray(Kept)]
    private struct Instants
    {
        private long _first;
    }
}
