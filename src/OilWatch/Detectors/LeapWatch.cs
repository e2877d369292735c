using System.Runtime.CompilerServices;
using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds an oil pressure that leaps to another level at once and goes on there: a constant error, not a loss.</summary>
/// <remarks>
/// A real fall or rise comes through the lag of gallery, line and sensor: after one interval T at least e^(-T/τ) of it is still to come. A leap that is over within
/// one interval, with nothing left to come and engine speed not going the same way, cannot be pressure. Where the interval is too long or the noise too large to tell, nothing is
/// said: the reading stands, and any alert with it.
/// </remarks>
internal struct LeapWatch
{
    private const int Kept = 5;                          // two readings before the leap, three after it
    private const double LeastShare = 0.15;              // of the pressure
    private const double BeforeShare = 0.25;             // of the leap: the readings before it agree
    private const double LeftShare = 0.5;                // of what a lag would still have to bring
    private const double SteadySpeed = 0.06;
    private const double LongestIntervalS = 0.5;
    private const double LongestS = 30;                  // then the reading stands again: when in doubt the alert stands
    private const double OftenRepeated = 0.4;
    private const double MostlyRepeated = 0.7;
    private const double NoiseKpa = 5;
    private const double BackFrom = 0.5;
    private const double BackTo = 2;
    private Readings _kept;
    private int _count;
    private double _usualStep;
    private double _repeats;
    private LogTime _from;
    private LogTime _raised;
    private double _leap;
    private double _stood;

    /// <summary>True while the reading is masked.</summary>
    public bool Masked { get; private set; }

    /// <summary>True while a leap has just come and the next readings must say what it was.</summary>
    public bool Suspect { get; private set; }

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>The leap that ended at this reading was the way back of one that had not been called: it is no fault of what comes.</summary>
    public void TakeBack(LogTime at, LogTime leapAt, ref FaultChanges changes)
    {
        if (Masked && _from == leapAt) End(at, EventEnd.Recovered, ref changes);
    }

    /// <summary>A leap here leads back to what is right, as a look at the whole run knows.</summary>
    public void WentBack()
    {
        _count = 0;
        _stood = 0;
        Suspect = false;
    }

    /// <summary>Another rule does not believe the reading: what comes next is no neighbour of what was, and a leap that is open ends here.</summary>
    public void Forget(LogTime at, ref FaultChanges changes)
    {
        if (Masked) End(at, EventEnd.DataLost, ref changes);
        _count = 0;
        Suspect = false;
    }

    /// <summary>Takes a reading that the other rules believe.</summary>
    /// <param name="at">When.</param>
    /// <param name="kpa">Pressure, kPa.</param>
    /// <param name="rpm">Engine speed, rpm, or NaN.</param>
    /// <param name="leastKpa">Smallest leap that is one, kPa.</param>
    /// <param name="fallTimeS">Shortest time constant that pressure can have, s.</param>
    /// <param name="goesOn">True where a look at the whole run knows that the leap is yet to lead back.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(LogTime at, double kpa, double rpm, double leastKpa, double fallTimeS, bool goesOn, ref FaultChanges changes)
    {
        Take(at, kpa, rpm);
        // A channel that is written faster than it is read repeats every reading; one with coarse steps only some.
        bool everyReadingCounts = _repeats < OftenRepeated || _kept[3].Kpa != _kept[2].Kpa;
        Suspect = !Masked && _repeats < MostlyRepeated
            && (Leap(2, leastKpa, fallTimeS) != 0 || Leap(3, leastKpa, fallTimeS) != 0 || Leap(4, leastKpa, fallTimeS) != 0);
        double leap = everyReadingCounts ? Leap(2, leastKpa, fallTimeS) : 0;
        if (Masked)
        {
            bool back = -leap / _leap is > BackFrom and < BackTo;
            if (back) End(_kept[2].At, EventEnd.Recovered, ref changes);
            else if (!goesOn && at.SecondsSince(_from) > LongestS)
            {
                _stood = _leap;
                End(at, EventEnd.DataLost, ref changes);
            }
        }
        else if (leap != 0 && -leap / _stood is > BackFrom and < BackTo)
        {
            // The way back of one that was believed again in the end: the sensor is right from here on.
            WentBack();
        }
        else if (leap != 0)
        {
            Masked = true;
            Suspect = false;
            _from = _kept[2].At;
            _raised = at;
            _leap = leap;
            Faults++;
            changes.Add(Fault(at, EventEnd.Open));
        }
    }

    /// <summary>Takes a reading that another rule still doubts: it is a neighbour of what comes, and the rule that comes to believe it leaves the leap to this one.</summary>
    public void Take(LogTime at, double kpa, double rpm)
    {
        if (_count > 0 && at.SecondsSince(_kept[Kept - 1].At) > LongestIntervalS) _count = 0;
        for (int i = 1; i < Kept; i++) _kept[i - 1] = _kept[i];
        _kept[Kept - 1] = new Reading(at, kpa, rpm);
        _count = Math.Min(_count + 1, Kept);
        Learn();
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        if (Masked) End(at, EventEnd.LogEnded, ref changes);
    }

    /// <summary>The leap that ended at a kept reading, kPa, as far as the readings after it agree; 0 when there was none.</summary>
    private readonly double Leap(int place, double leastKpa, double fallTimeS)
    {
        if (_count < Kept && place - 2 < Kept - _count) return 0;
        double before = _kept[place - 1].Kpa, after = _kept[place].Kpa, leap = after - before, size = Math.Abs(leap);
        if (size < Math.Max(leastKpa, LeastShare * Math.Max(before, after)) || Math.Abs(before - _kept[place - 2].Kpa) > BeforeShare * size) return 0;
        double left = LeftShare * size * Math.Exp(-_kept[place].At.SecondsSince(_kept[place - 1].At) / fallTimeS);
        if (left < 3 * _usualStep) return 0;
        double rpm = _kept[place].Rpm;
        // Engine speed may not have gone the same way: pressure follows it.
        for (int i = place - 2; i < Kept; i++)
            if (!(Math.Sign(leap) * Math.Sign(i - place + 0.5) * (_kept[i].Rpm - rpm) <= SteadySpeed * rpm)) return 0;
        bool flat = place < Kept - 1;
        for (int i = place + 1; i < Kept; i++)
        {
            if (Math.Abs(_kept[i].Kpa - after) > left) return 0;
            flat &= _kept[i].Kpa == after;
        }
        return flat ? 0 : leap;                          // the same to the last digit is a rail or a stuck value, not an offset
    }

    private void Learn()
    {
        if (_count < 2) return;
        double step = Math.Abs(_kept[Kept - 1].Kpa - _kept[Kept - 2].Kpa);
        SlowMean.Follow(ref _repeats, step == 0 ? 1 : 0);
        SlowMean.FollowStep(ref _usualStep, step, NoiseKpa);
    }

    private void End(LogTime end, EventEnd ending, ref FaultChanges changes)
    {
        Masked = false;
        _count = 0;
        changes.Add(Fault(end, ending));
    }

    private readonly SensorFault Fault(LogTime end, EventEnd ending) =>
        new(Role.OilPressure, SensorFaultKind.Offset, _from, _raised, end, ending, _leap, 1);

    private readonly record struct Reading(LogTime At, double Kpa, double Rpm);

    [InlineArray(Kept)]
    private struct Readings
    {
        private Reading _first;
    }
}
