using System.Runtime.CompilerServices;
using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds an oil pressure that leapt to another level at once and leapt back at once: known only when it is over.</summary>
/// <remarks>
/// What one leap cannot prove for noise, two can. Of a real change with a lag τ, e^(-T/τ) is still to come one interval T after its first reading; of a
/// leap, nothing. The mean of what came after both leaps, as a share of their size, is held against half of that.
/// </remarks>
internal struct LeapPairs
{
    private const int Kept = 6;                          // three readings before the leap, three from it on
    private const int Before = 2;
    private const int After = 3;
    private const double LeastShare = 0.12;              // of the pressure
    private const double AgreeShare = 0.25;              // of the leap: the readings before it agree
    private const double LeftShare = 0.5;                // of what a lag would still have to bring
    private const double NoiseShare = 0.5;               // of the same: noise may not decide
    private const double LongestIntervalS = 0.06;        // with longer ones a lag is over before the next reading
    private const double LongestS = 30;
    private const double LongestUpS = 120;               // pressure that leapt up first: what is masked lies too high, and no loss does
    private const double ShortestS = 0.12;
    private const double SomeRepeated = 0.45;            // then the reading after the leap must be one of its own
    private const double MostlyRepeated = 0.6;
    private const double NoiseKpa = 5;
    private const double BackFrom = 0.6;
    private const double BackTo = 1.67;
    private Readings _kept;
    private int _count;
    private double _usualStep;
    private double _repeats;
    private LogTime _from;
    private double _leap;
    private double _left;

    /// <summary>Takes a reading, believed or not; true when it showed that a leap is over.</summary>
    /// <param name="at">When.</param>
    /// <param name="kpa">Pressure, kPa.</param>
    /// <param name="leastKpa">Smallest leap that is one, kPa.</param>
    /// <param name="fallTimeS">Shortest time constant that pressure can have, s.</param>
    /// <param name="fault">The leap and its end.</param>
    public bool Step(LogTime at, double kpa, double leastKpa, double fallTimeS, out SensorFault fault)
    {
        fault = default;
        if (_count > 0 && at.SecondsSince(_kept[Kept - 1].At) > LongestIntervalS) _count = 0;
        for (int i = 1; i < Kept; i++) _kept[i - 1] = _kept[i];
        _kept[Kept - 1] = new Reading(at, kpa);
        _count = Math.Min(_count + 1, Kept);
        if (_count >= 2)
        {
            double step = Math.Abs(kpa - _kept[Kept - 2].Kpa);
            SlowMean.Follow(ref _repeats, step == 0 ? 1 : 0);
            SlowMean.FollowStep(ref _usualStep, step, NoiseKpa);
        }
        if (_count < Kept) return false;
        double leap = _kept[After].Kpa - _kept[Before].Kpa, size = Math.Abs(leap);
        if (size < leastKpa || size < LeastShare * Math.Max(_kept[Before].Kpa, _kept[After].Kpa)) return false;
        if (_repeats > MostlyRepeated || (_repeats > SomeRepeated && _kept[After].Kpa == _kept[After + 1].Kpa)) return false;
        double agree = AgreeShare * size;
        for (int i = 0; i < Kept; i++)
            if (Math.Abs(_kept[i].Kpa - _kept[i < After ? Before : After].Kpa) > agree) return false;
        double toCome = Math.Exp(-_kept[After].At.SecondsSince(_kept[Before].At) / fallTimeS);
        double left = ((0.5 * (_kept[After + 1].Kpa + _kept[After + 2].Kpa)) - _kept[After].Kpa) / leap;
        double length = _kept[After].At.SecondsSince(_from);
        double ratio = _leap == 0 ? 0 : -leap / _leap;
        bool pair = ratio is >= BackFrom and <= BackTo && length >= ShortestS && length <= (_leap > 0 ? LongestUpS : LongestS)
            && 0.5 * (left + _left) < LeftShare * toCome && _usualStep / size < NoiseShare * toCome;
        if (pair)
        {
            fault = new SensorFault(Role.OilPressure, SensorFaultKind.Offset, _from, at, _kept[After].At, EventEnd.Recovered, _leap, 1);
            _leap = 0;
            return true;
        }
        (_from, _leap, _left) = (_kept[After].At, leap, left);
        return false;
    }

    private readonly record struct Reading(LogTime At, double Kpa);

    [InlineArray(Kept)]
    private struct Readings
    {
        private Reading _first;
    }
}
