using System.Runtime.CompilerServices;
using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds a value that leapt to another level within one reading and back within one reading: known only when it is over.</summary>
/// <remarks>
/// A car on its springs and tyres, a crankcase and a flywheel behind a clutch take their time: of a change with the time constant τ, e^(-T/τ) is still to come one interval T after its first
/// reading, and what leapt for once does not leap back as far. The mean of what came after both leaps, as a share of their size, is held against half of that. A gear change leaps one way.
/// </remarks>
/// <param name="rule">What counts as a leap.</param>
internal struct StepPairs(StepPairs.Rule rule)
{
    private const int Following = 2;                     // readings after a leap that must stay there,
    private const double FollowingS = 0.075;             // and how long; as long before it the readings must lie still too: a kerb does neither
    private const double LongestWayS = 0.105;
    private const int Kept = 8;
    private const double AgreeShare = 0.3;               // of the leap: how far the readings beside it may lie off
    private const double LeftShare = 0.5;                // of what a lag would still have to bring
    private const double SurelyToCome = 0.5;
    private const double BackFrom = 0.65;
    private const double BackTo = 1.5;
    private Values _values;
    private Times _times;
    private int _next;
    private double _value;
    private LogTime _valueAt;
    private int _known;
    private int _followed;
    private bool _waits;
    private double _leap;
    private double _level;
    private double _left;
    private double _toCome;
    private LogTime _leaptAt;
    private LogTime _halfWay;
    private LogTime _from;
    private double _first;
    private double _firstLeft;
    private double _sum;                                 // of the reading over time since the first leap, and of the speed gained
    private double _speedFrom;

    /// <summary>The leap that turned out at the last reading to have been over within one, with nothing left to come; 0 where there was none.</summary>
    public double Leapt { get; private set; }

    /// <summary>When that leap came.</summary>
    public LogTime LeaptAt => _halfWay;

    /// <summary>Faults found in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Takes a reading, believed or not; true when it showed that a leap is over.</summary>
    /// <param name="at">When.</param>
    /// <param name="value">The value.</param>
    /// <param name="kmh">Vehicle speed, km/h, or NaN.</param>
    /// <param name="shaken">True where the whole car was shaken: no leap begins there.</param>
    /// <param name="fault">The leap and its end.</param>
    public bool Step(LogTime at, double value, double kmh, bool shaken, out SensorFault fault)
    {
        fault = default;
        Leapt = 0;
        double interval = at.SecondsSince(_valueAt);
        if (!double.IsFinite(value) || interval > rule.LongestIntervalS)
        {
            _known = 0;
            _waits = false;
            if (!double.IsFinite(value)) return false;
        }
        bool found = false;
        if (_first != 0) _sum += 0.5 * (value + _value) * interval;
        if (_waits) found = Follow(at, value, kmh, out fault);
        if (!shaken && !Leaps(at, value, 1) && rule.MayTakeTwo) Leaps(at, value, 2);
        (_values[_next], _times[_next]) = (value, at);
        _next = (_next + 1) % Kept;
        (_value, _valueAt) = (value, at);
        _known = Math.Min(_known + 1, Kept);
        return found;
    }

    /// <summary>
    /// A leap to a reading from the one before, or from the one before that: where readings stand for the mean of what came since the last, one of them may lie half way.
    /// </summary>
    private bool Leaps(LogTime at, double value, int intervals)
    {
        if (_known < intervals) return false;
        int from = (_next + Kept - intervals) % Kept;
        double leap = value - _values[from], size = Math.Abs(leap);
        if (size < rule.Least || size < rule.LeastTimes * Math.Min(Math.Abs(value), Math.Abs(_values[from]))) return false;
        double seconds = at.SecondsSince(_times[from]);
        if (size < rule.LeastPerS * seconds || (intervals > 1 && (seconds > LongestWayS || !((_value - _values[from]) / leap is > 0 and < 1))) || !LayStill(from, intervals, AgreeShare * size)) return false;
        (_leap, _level, _left, _followed, _waits) = (leap, value, 0, 0, true);
        _leaptAt = at;
        _halfWay = _times[from].AddSeconds(0.5 * seconds);
        _toCome = Math.Exp(-seconds / rule.LagS);
        return true;
    }

    /// <summary>True where the readings before one lay near it for long enough.</summary>
    private readonly bool LayStill(int from, int back, double agree)
    {
        while (++back <= _known)
        {
            int i = (_next + Kept - back) % Kept;
            if (Math.Abs(_values[i] - _values[from]) > agree) return false;
            if (_times[from].SecondsSince(_times[i]) >= FollowingS) return true;
        }
        return _known == Kept;
    }

    private bool Follow(LogTime at, double value, double kmh, out SensorFault fault)
    {
        fault = default;
        double left = (value - _level) / _leap;
        if (Math.Abs(left) > AgreeShare)
        {
            _waits = false;
            return false;
        }
        _left += (left - _left) / ++_followed;
        if (_followed < Following || at.SecondsSince(_leaptAt) < FollowingS) return false;
        _waits = false;
        if (_left < LeftShare * _toCome) Leapt = _leap;
        double length = _halfWay.SecondsSince(_from);
        bool pair = _first != 0 && -_leap / _first is >= BackFrom and <= BackTo && length >= rule.ShortestS && length <= rule.LongestS
            && 0.5 * (_left + _firstLeft) < LeftShare * _toCome && !(rule.IsSpeedChange && SpeedConfirms(kmh, length));
        if (pair)
        {
            fault = new SensorFault(rule.Role, SensorFaultKind.Offset, _from, at, _halfWay, EventEnd.Recovered, _first, 1);
            Faults++;
            _first = 0;
            return true;
        }
        (_from, _first, _firstLeft, _sum, _speedFrom) = (_halfWay, _leap, _left, 0, kmh);
        return false;
    }

    /// <summary>True where the car gained or lost the speed that the acceleration says: then it was one.</summary>
    private readonly bool SpeedConfirms(double kmh, double length)
    {
        if (!double.IsFinite(kmh - _speedFrom)) return _toCome < SurelyToCome;     // nothing to ask: shape alone says it only where readings come quickly
        double gained = (kmh - _speedFrom) / 3.6 / Units.StandardGravity;
        return Math.Abs(gained - _sum) < Math.Abs(gained - (_sum - (_first * length)));
    }

    [InlineArray(Kept)]
    private struct Values
    {
        private double _first;
    }

    [InlineArray(Kept)]
    private struct Times
    {
        private LogTime _first;
    }

    /// <summary>What counts as a leap of a role.</summary>
    /// <param name="Role">The role.</param>
    /// <param name="Least">Smallest leap.</param>
    /// <param name="LeastPerS">Smallest rate of a leap, a second.</param>
    /// <param name="LagS">Time constant that a real change has at least, s.</param>
    /// <param name="LongestIntervalS">Readings further apart than this say nothing.</param>
    /// <param name="LongestS">Longest time between the two leaps, s.</param>
    public readonly record struct Rule(Role Role, double Least, double LeastPerS, double LagS, double LongestIntervalS, double LongestS)
    {
        /// <summary>True where nothing real is over within a tenth of a second, two readings or one: a gear change is.</summary>
        public bool MayTakeTwo { get; init; }

        /// <summary>Smallest leap against the lower of its two levels.</summary>
        public double LeastTimes { get; init; }

        /// <summary>Shortest time between the two leaps, s.</summary>
        public double ShortestS { get; init; } = 0.25;

        /// <summary>True where the speed of the car must have changed with the value.</summary>
        public bool IsSpeedChange { get; init; }
    }
}
