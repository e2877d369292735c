using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Tells a loose connection, or a ground that lifts, by oil pressure that steps up and down between levels that are all possible.</summary>
/// <remarks>
/// Nothing is masked: between its steps the sensor follows pressure, a little off, and a real loss is still seen. Three steps within five minutes with an up and a down among them are
/// no oil: what fails there falls, through the lag of gallery and sensor, and does not come back at once.
/// </remarks>
internal sealed class ContactWatch
{
    private const int ToTell = 3;
    private const double WithinS = 300;
    private const double QuietS = 120;                   // without a step for so long, contact is made again
    private readonly (LogTime At, double Kpa)[] _latest = new (LogTime, double)[ToTell];
    private readonly ContactNoise _noise = new();
    private JumpWatch _jumps;
    private int _up;
    private int _down;
    private double _largest;
    private bool _isOpen;
    private LogTime _from;
    private LogTime _raised;
    private int _count;
    private double _level;
    private double _largestLoose;

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>What the run showed so far.</summary>
    public ContactSigns Signs => _noise.Signs() with { Up = _up, Down = _down, IsLoose = Faults > 0, LargestKpa = _largestLoose };

    /// <summary>Takes a reading of oil pressure as it came.</summary>
    /// <param name="at">When.</param>
    /// <param name="kpa">Pressure, kPa.</param>
    /// <param name="rpm">Engine speed, rpm, or NaN.</param>
    /// <param name="deadKpa">A level as low as this is a dropout's, kPa.</param>
    /// <param name="faulty">True where another rule knows the sensor to be faulty: its steps are that rule's.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(LogTime at, double kpa, double rpm, double deadKpa, bool faulty, ref FaultChanges changes)
    {
        if (_isOpen && at.SecondsSince(_latest[ToTell - 1].At) > QuietS) End(_latest[ToTell - 1].At, EventEnd.Recovered, ref changes);
        if (faulty)
        {
            _jumps.Forget();
            _noise.Forget();
            return;
        }
        _noise.Step(at, kpa, rpm);
        if (!_jumps.Step(at, kpa, rpm, deadKpa, out LogTime jumpAt, out double jumpKpa)) return;
        if (jumpKpa > 0) _up++;
        else _down++;
        for (int i = 1; i < ToTell; i++) _latest[i - 1] = _latest[i];
        _latest[ToTell - 1] = (jumpAt, jumpKpa);
        _largest = Math.Max(_largest, Math.Abs(jumpKpa));
        if (_isOpen)
        {
            _count++;
            if (Math.Abs(jumpKpa) > Math.Abs(_level)) _level = jumpKpa;
        }
        else if (IsToldBy(jumpAt))
        {
            (_isOpen, _from, _raised, _count, _level) = (true, _latest[0].At, at, ToTell, _latest[0].Kpa);
            foreach ((_, double kpaOf) in _latest)
                if (Math.Abs(kpaOf) > Math.Abs(_level)) _level = kpaOf;
            Faults++;
            changes.Add(Fault(at, EventEnd.Open));
        }
        if (_isOpen) _largestLoose = _largest;
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        if (_isOpen) End(at, EventEnd.LogEnded, ref changes);
    }

    private bool IsToldBy(LogTime at)
    {
        if (_up + _down < ToTell || at.SecondsSince(_latest[0].At) > WithinS) return false;
        int up = 0;
        foreach ((_, double kpa) in _latest)
            if (kpa > 0) up++;
        return up is > 0 and < ToTell;
    }

    private void End(LogTime end, EventEnd ending, ref FaultChanges changes)
    {
        _isOpen = false;
        changes.Add(Fault(end, ending));
    }

    private SensorFault Fault(LogTime end, EventEnd ending) =>
        new(Role.OilPressure, SensorFaultKind.Offset, _from, _raised, end, ending, _level, _count);
}
