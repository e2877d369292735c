using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>A crankcase pressure that fell within one reading, with nothing left to come: no pump draws a crankcase down so, and the reading is wrong until it leaps back.</summary>
/// <remarks>
/// Only a fall is told from one leap: a hose that comes off lets the pressure up within a tenth of a second. A reading that later lies far above ambient without the error was right, and is believed again.
/// </remarks>
internal struct SunkLevel
{
    private const double Least = 6;                      // kPa
    private const double LeastSteps = 6;                 // usual ones: noise leaps as well
    private const double BackFrom = 0.65;
    private const double BackTo = 1.5;
    private const double AmbientKpa = 15;                // above it: more than any blow-by leaves in a crankcase
    private const double RightS = 0.5;
    private LogTime _from;
    private LogTime _raised;
    private LogTime _rightSince;
    private bool _right;
    private double _error;
    private double _last;
    private double _usualStep;

    /// <summary>True while the reading is wrong.</summary>
    public bool IsOpen { get; private set; }

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Takes a reading.</summary>
    /// <param name="at">When.</param>
    /// <param name="kpa">The reading, kPa, or NaN.</param>
    /// <param name="leap">The leap, kPa, that turned out at this instant to have been over within one reading; 0 where there was none.</param>
    /// <param name="leapAt">When it came.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    /// <returns>True when the fault ended.</returns>
    public bool Step(LogTime at, double kpa, double leap, LogTime leapAt, ref FaultChanges changes)
    {
        if (!IsOpen)
        {
            if (double.IsFinite(kpa))
            {
                if (double.IsFinite(_last)) SlowMean.FollowStep(ref _usualStep, Math.Abs(kpa - _last), Least);
                _last = kpa;
            }
            if (!(leap <= -Math.Max(Least, LeastSteps * _usualStep))) return false;
            (IsOpen, _from, _raised, _error, _right) = (true, leapAt, at, leap, false);
            Faults++;
            changes.Add(Fault(at, EventEnd.Open));
            return false;
        }
        if (-leap / _error is >= BackFrom and <= BackTo) return End(leapAt, EventEnd.Recovered, ref changes);
        if (!(kpa - _error > AmbientKpa)) _right = false;
        else if (!_right) (_right, _rightSince) = (true, at);
        else if (at.SecondsSince(_rightSince) >= RightS) return End(_rightSince, EventEnd.DataLost, ref changes);
        return false;
    }

    /// <summary>When it began.</summary>
    public readonly LogTime From => _from;

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        if (IsOpen) End(at, EventEnd.LogEnded, ref changes);
    }

    private bool End(LogTime end, EventEnd ending, ref FaultChanges changes)
    {
        IsOpen = false;
        changes.Add(Fault(end, ending));
        return true;
    }

    private readonly SensorFault Fault(LogTime end, EventEnd ending) => new(Role.CrankcasePressure, SensorFaultKind.Offset, _from, _raised, end, ending, _error, 1);
}
