using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds a constant error while the engine or the car stands, where a sound sensor shows nothing.</summary>
/// <remarks>
/// The value must have stood still, so that a pressure on its way down is not one. Nothing is masked: a sensor that is a little off
/// still shows a fall. The fault lasts until the sensor is next seen near zero.
/// </remarks>
internal struct StandingWatch
{
    private const double SettleS = 5;
    private LogTime _since;
    private LogTime _watchedFrom;
    private bool _stands;
    private double _low;
    private double _high;
    private double _sum;
    private int _count;
    private bool _open;
    private LogTime _from;
    private LogTime _raised;
    private double _level;

    /// <summary>True while a fault lasts.</summary>
    public readonly bool IsOpen => _open;

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Takes a reading.</summary>
    /// <param name="at">When.</param>
    /// <param name="role">The role.</param>
    /// <param name="value">Its value, or NaN.</param>
    /// <param name="stands">True while it must show nothing.</param>
    /// <param name="limit">How far from zero is a fault, in the role's unit.</param>
    /// <param name="afterS">How long it must have stood for, s.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(LogTime at, Role role, double value, bool stands, double limit, double afterS, ref FaultChanges changes)
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
        if (at.SecondsSince(_since) < SettleS) return;
        if (_count == 0 || Math.Max(_high, value) - Math.Min(_low, value) > limit / 3)
        {
            _watchedFrom = at;
            _low = _high = value;
            _sum = 0;
            _count = 0;
        }
        _low = Math.Min(_low, value);
        _high = Math.Max(_high, value);
        _sum += value;
        _count++;
        if (_count < 5 || at.SecondsSince(_watchedFrom) < afterS) return;
        double mean = _sum / _count;
        if (!_open && Math.Abs(mean) > limit)
        {
            _open = true;
            _from = _watchedFrom;
            _raised = at;
            _level = mean;
            Faults++;
            changes.Add(Fault(role, at, EventEnd.Open));
        }
        else if (_open && Math.Abs(mean) < limit / 2)
        {
            _open = false;
            changes.Add(Fault(role, _watchedFrom, EventEnd.Recovered));
        }
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, Role role, ref FaultChanges changes)
    {
        if (_open) changes.Add(Fault(role, at, EventEnd.LogEnded));
        _open = false;
    }

    private readonly SensorFault Fault(Role role, LogTime end, EventEnd ending) =>
        new(role, SensorFaultKind.Offset, _from, _raised, end, ending, _level, 0);
}
