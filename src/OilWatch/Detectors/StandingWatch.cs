using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds a constant error while the engine or the car stands, where a sound sensor shows nothing.</summary>
/// <remarks>
/// Means over two halves of a short time must agree, so that a pressure on its way down is not one, and noise does not hide one. Nothing is masked: a sensor that is off by a constant
/// still shows a fall. The fault lasts until the sensor is next seen near zero; a large one is taken off the reading meanwhile (<see cref="Error"/>).
/// </remarks>
/// <param name="rule">What counts as one.</param>
internal struct StandingWatch(StandingWatch.Rule rule)
{
    private const int LeastReadings = 5;
    private const double UnsureS = 5;                    // where the engine turns fast, only what stands as long as this is still
    private const double StillShare = 1.0 / 3;           // of the limit: how far readings may lie apart where that is asked for
    private const double DriftShare = 0.03;              // of the mean, and
    private const double DriftOfLimit = 0.1;             // of the limit, from half to half: what drains by less in a second takes a minute to be gone
    private const double DrainTimes = 10;                // so many halves on it must still be beyond the limit
    private const double NoiseTimes = 4;                 // of the limit: what readings lie further apart than, something moves
    private LogTime _since;
    private LogTime _from;
    private bool _stands;
    private double _low;
    private double _high;
    private double _first;
    private double _second;
    private int _firstCount;
    private int _count;
    private bool _open;
    private LogTime _began;
    private LogTime _raised;
    private double _level;

    /// <summary>The role.</summary>
    public readonly Role Role => rule.Role;

    /// <summary>True while a fault lasts.</summary>
    public readonly bool IsOpen => _open;

    /// <summary>What the reading is known to be too high by, and is to be taken off it; 0 while it is believed.</summary>
    public readonly double Error => _open && rule.TakesOff(_level) ? _level : 0;

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Takes a reading of the instant.</summary>
    /// <param name="at">When.</param>
    /// <param name="value">Its value as it was read, or NaN.</param>
    /// <param name="stands">True while it must show nothing.</param>
    /// <param name="settleS">How long it may still take to come to rest, s.</param>
    /// <param name="afterS">How long it must have stood for, s.</param>
    /// <param name="sure">False where only the reading itself says that nothing moves.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(LogTime at, double value, bool stands, double settleS, double afterS, bool sure, ref FaultChanges changes)
    {
        if (!stands || !double.IsFinite(value))
        {
            _stands &= stands;
            _count = 0;
            return;
        }
        if (!_stands)
        {
            _stands = true;
            _since = at;
            _count = 0;
        }
        if (at.SecondsSince(_since) < settleS) return;
        if (!sure)
        {
            afterS = Math.Max(afterS, UnsureS);
            if (_count > 0 && Math.Max(_high, value) - Math.Min(_low, value) > StillShare * rule.Limit) _count = 0;
        }
        if (_count == 0)
        {
            _from = at;
            _low = _high = value;
            _first = _second = 0;
            _firstCount = 0;
        }
        _low = Math.Min(_low, value);
        _high = Math.Max(_high, value);
        _count++;
        double lasts = at.SecondsSince(_from);
        if (lasts < 0.5 * afterS)
        {
            _first += value;
            _firstCount++;
        }
        else
        {
            _second += value;
        }
        if (lasts < afterS || _count < LeastReadings || _firstCount == 0) return;
        Look(at, ref changes);
        _count = 0;
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        if (_open) changes.Add(Fault(at, EventEnd.LogEnded));
        _open = false;
    }

    private void Look(LogTime at, ref FaultChanges changes)
    {
        double before = _first / _firstCount, after = _second / (_count - _firstCount), mean = (_first + _second) / _count;
        if (!(Math.Abs(after - before) <= Math.Max(DriftShare * Math.Abs(mean), DriftOfLimit * rule.Limit)) || _high - _low > NoiseTimes * rule.Limit) return;
        if (!_open && Math.Abs(mean) - (DrainTimes * Math.Max(0, Math.Abs(before) - Math.Abs(after))) > rule.Limit)
        {
            _open = true;
            _began = _from;
            _raised = at;
            _level = mean;
            Faults++;
            changes.Add(Fault(at, EventEnd.Open));
        }
        else if (_open && Math.Abs(mean) < rule.Limit / 2)
        {
            _open = false;
            changes.Add(Fault(_from, EventEnd.Recovered));
        }
    }

    private readonly SensorFault Fault(LogTime end, EventEnd ending) => new(rule.Role, SensorFaultKind.Offset, _began, _raised, end, ending, _level, 0);

    /// <summary>What counts as a constant error of a role.</summary>
    /// <param name="Role">The role.</param>
    /// <param name="Limit">How far from zero, in its unit.</param>
    /// <param name="TakenOffFrom">From here on it is taken off the reading; <see cref="GuardRule.Never"/> where it is not.</param>
    public readonly record struct Rule(Role Role, double Limit, double TakenOffFrom)
    {
        /// <summary>True where an error is so large that nothing else can be the cause of it.</summary>
        public bool TakesOff(double level) => Math.Abs(level) >= TakenOffFrom;
    }
}
