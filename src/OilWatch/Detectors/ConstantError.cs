using System.Runtime.CompilerServices;
using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>A speed that leapt, and what the gears say of it since.</summary>
/// <param name="role">Engine speed or road speed.</param>
/// <param name="least">Smallest leap, in its unit.</param>
/// <param name="leastShare">Smallest leap, of the speed.</param>
/// <param name="move">What an honest change makes of it from one reading to the next but one.</param>
internal struct ConstantError(Role role, double least, double leastShare, double move)
{
    private const int Kept = 8;
    private const double LongestLeapS = 0.16;            // or one interval
    private const double LeastSweepShare = 0.4;          // of the speed, where it takes more than one interval: a gear change takes less, and as long
    private const double LongestIntervalS = 0.21;
    private const double AgreeShare = 0.06;              // of the leap: the readings on both sides of it
    private const double FollowingS = 0.035;
    private const double BeforeS = 0.35;                 // the car was in gear as lately as this
    private const double BackShare = 0.12;
    private const double ShortestS = 0.4;
    private const double LongestS = 60;                  // then the reading stands again
    private const double LongestDoubtS = 30;
    private const int MostBackLooks = 25;                // by then a gear change that is as large as the error is told from its end
    private const int EnoughBackLooks = 3;
    private const double RightS = 3;                     // as read in gear, and not without the error: a corner taken at one speed may hit a gear by chance
    private const int FewLooks = 4;
    private const int EnoughLooks = 10;
    private const double InGearShare = 0.7;
    private const double OffGearShare = 0.3;
    private const double SurelyInGearShare = 0.95;
    private const double SurelyOffGearShare = 0.6;       // other gears are hit by chance
    private const double LeastDrift = 0.03;              // of the ratio: so much would a gear not driven before have taken the corrected readings from any other
    private const int FewFarLooks = 3;
    private const double FarInGearShare = 0.75;
    private const double SettleShare = 0.12;
    private const double LargerTimes = 1.5;              // a leap so much larger is asked about rather than the one before
    private Readings _kept;
    private int _count;
    private double _leap;
    private double _level;
    private LogTime _leaptFrom;
    private LogTime _leaptAt;
    private LogTime _inGearAt;
    private bool _everInGear;
    private double _gear;
    private LogTime _from;
    private double _before;
    private Tally _since;
    private double _first;                               // of the other speed since the leap
    private double _ratio;                               // of the two, as read, since the leap
    private int _far;
    private int _farAlike;
    private int _farCorrected;
    private bool _open;
    private LogTime _raised;
    private LogTime _lookedAt;
    private LogTime _rightFrom;
    private double _right;
    private LogTime _backAt;
    private bool _maybeBack;
    private Tally _sinceBack;

    /// <summary>True since a leap that may have been an error.</summary>
    public bool IsDoubted { get; private set; }

    /// <summary>What the reading is too high by, if it is wrong.</summary>
    public double Error { get; private set; }

    /// <summary>True while the reading is known to be wrong.</summary>
    public readonly bool IsWrong => _open;

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Takes a reading.</summary>
    public void Take(LogTime at, double value, bool gearsAreKnown, ref FaultChanges changes)
    {
        if (_count > 0 && at.SecondsSince(_kept[Kept - 1].At) > LongestIntervalS)
        {
            _count = 0;
            _leap = 0;
        }
        if (_leap != 0)
        {
            if (!Agrees(value, _level, Math.Abs(_leap))) _leap = 0;
            else if (at.SecondsSince(_leaptAt) >= FollowingS) Leapt(gearsAreKnown, ref changes);
        }
        for (int i = 1; i < Kept; i++) _kept[i - 1] = _kept[i];
        _kept[Kept - 1] = new Reading(at, value);
        _count = Math.Min(_count + 1, Kept);
        if (_leap == 0) FindLeap();
    }

    /// <summary>Says how large the error is by the gear that was in before the leap, where that agrees with the leap: nobody changes gear in the same instant.</summary>
    public void Settle(double value, double other)
    {
        if (_since.Looks > 0 || !(_gear > 0)) return;
        double error = value - (_gear * other);
        if (Math.Abs(error - Error) <= (SettleShare * Math.Abs(Error)) + move) Error = error;
    }

    /// <summary>Takes what the gears say at an instant.</summary>
    /// <param name="at">When.</param>
    /// <param name="value">This speed.</param>
    /// <param name="other">The other one.</param>
    /// <param name="asRead">True where the speeds as they are read are those of a gear.</param>
    /// <param name="nearAsRead">True where they are near those of a gear.</param>
    /// <param name="corrected">True where they are without the error.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Look(LogTime at, double value, double other, bool asRead, bool nearAsRead, bool corrected, ref FaultChanges changes)
    {
        if (asRead && !_open) (_inGearAt, _everInGear, _gear) = (at, true, value / other);
        if (!IsDoubted) return;
        if (_maybeBack)
        {
            LookBack(asRead, corrected, ref changes);
            return;
        }
        double step = Math.Min(at.SecondsSince(_lookedAt), LongestIntervalS);
        _lookedAt = at;
        _since.Add(nearAsRead, corrected);
        if (_since.Looks == 1) _first = other;
        if (_since.Looks <= FewLooks) _ratio = value / other;         // a clutch is let in meanwhile
        if (Math.Abs(Error * Math.Log(other / _first)) >= LeastDrift * Math.Max(_before, _before + Error))
        {
            _far++;
            if (corrected) _farCorrected++;
            if (Math.Abs(Math.Log(value / other / _ratio)) < LeastDrift / 2) _farAlike++;
        }
        if (!asRead || corrected) _right = 0;
        else if (_right == 0) (_right, _rightFrom) = (step, at);
        else _right += step;
        double since = at.SecondsSince(_from);
        if (_open)
        {
            if (_right >= RightS) End(_rightFrom, EventEnd.Recovered, ref changes);
            else if (since > LongestS) End(at, EventEnd.DataLost, ref changes);
            return;
        }
        if (_right >= RightS || since > LongestDoubtS || IsRight())
        {
            IsDoubted = false;
            return;
        }
        if (_since.Looks >= EnoughLooks && IsError()) Open(at, ref changes);
    }

    /// <summary>Another rule does not believe the reading.</summary>
    public void Forget()
    {
        if (_open) return;
        (IsDoubted, _leap, _count) = (false, 0, 0);
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        if (_open) End(at, EventEnd.LogEnded, ref changes);
    }

    private readonly bool IsRight() =>
        (_since.Looks >= FewLooks && _since.AsReadShare > 1 - OffGearShare && _since.CorrectedShare < 0.5) || (_since.Looks >= EnoughLooks && _since.CorrectedShare < 1 - InGearShare);

    private readonly bool IsError() =>
        _since.CorrectedShare >= InGearShare && _since.AsReadShare <= (_since.CorrectedShare >= SurelyInGearShare ? SurelyOffGearShare : OffGearShare)
        && _far >= FewFarLooks && _farCorrected >= FarInGearShare * _far && _farAlike <= OffGearShare * _far;

    private readonly bool Agrees(double value, double level, double leap) => Math.Abs(value - level) <= (AgreeShare * leap) + move;

    private void FindLeap()
    {
        Reading last = _kept[Kept - 1];
        for (int back = 1; back < _count - 1; back++)
        {
            int i = Kept - 1 - back;
            if (back > 1 && last.At.SecondsSince(_kept[i].At) > LongestLeapS) return;
            double leap = last.Value - _kept[i].Value, size = Math.Abs(leap);
            double share = back > 1 ? LeastSweepShare : leastShare;
            if (size < Math.Max(least, share * Math.Min(Math.Abs(last.Value), Math.Abs(_kept[i].Value))) || !Agrees(_kept[i].Value, _kept[i - 1].Value, size)) continue;
            (_leap, _level, _leaptAt) = (leap, last.Value, last.At);
            _leaptFrom = _kept[i].At.AddSeconds(0.5 * _kept[i + 1].At.SecondsSince(_kept[i].At));
            return;
        }
    }

    private void Leapt(bool gearsAreKnown, ref FaultChanges changes)
    {
        double leap = _leap;
        (_leap, _count) = (0, 1);
        if (IsDoubted)
        {
            bool isOff = _since.Looks > 0 && _since.AsReadShare < 0.5, back = (_open || isOff) && Math.Abs(leap + Error) <= (BackShare * Math.Abs(Error)) + move;
            if (back) (_backAt, _maybeBack, _sinceBack) = (_leaptAt, true, default);
            if (back || _open || (isOff && (_since.CorrectedShare >= 0.5 || Math.Abs(leap) < LargerTimes * Math.Abs(Error)))) return;
            IsDoubted = false;
        }
        if (!gearsAreKnown || !_everInGear || _leaptFrom.SecondsSince(_inGearAt) > BeforeS) return;
        IsDoubted = true;
        (Error, _from, _before, _right, _far, _farCorrected, _farAlike) = (leap, _leaptFrom, _level - leap, 0, 0, 0, 0);
        (_since, _maybeBack) = (default, false);
        _lookedAt = _leaptAt;
    }

    /// <summary>A leap that may have led back, or a gear change of that size: the next looks tell.</summary>
    private void LookBack(bool asRead, bool corrected, ref FaultChanges changes)
    {
        _sinceBack.Add(asRead, corrected);
        if (_sinceBack.Looks < MostBackLooks && Math.Abs(_sinceBack.AsRead - _sinceBack.Corrected) < EnoughBackLooks) return;
        _maybeBack = false;
        if (_sinceBack.Corrected > _sinceBack.AsRead) return;
        if (!_open && _since.Looks >= FewLooks && IsError() && _backAt.SecondsSince(_from) >= ShortestS) Open(_backAt, ref changes);
        if (_open) End(_backAt, EventEnd.Recovered, ref changes);
        IsDoubted = false;
    }

    private void Open(LogTime at, ref FaultChanges changes)
    {
        _open = true;
        _raised = at;
        Faults++;
        changes.Add(Fault(at, EventEnd.Open));
    }

    private void End(LogTime end, EventEnd ending, ref FaultChanges changes)
    {
        _open = false;
        IsDoubted = false;
        changes.Add(Fault(end, ending));
    }

    private readonly SensorFault Fault(LogTime end, EventEnd ending) => new(role, SensorFaultKind.Offset, _from, _raised, end, ending, Error, 1);

    private readonly record struct Reading(LogTime At, double Value);

    /// <summary>What the gears said: for how many looks the speeds were those of a gear as they are read, and for how many without the error.</summary>
    private struct Tally
    {
        public int Looks { get; private set; }

        public int AsRead { get; private set; }

        public int Corrected { get; private set; }

        /// <summary>0 before the first look.</summary>
        public readonly double AsReadShare => (double)AsRead / Math.Max(Looks, 1);

        /// <summary>0 before the first look.</summary>
        public readonly double CorrectedShare => (double)Corrected / Math.Max(Looks, 1);

        public void Add(bool asRead, bool corrected)
        {
            Looks++;
            if (asRead) AsRead++;
            if (corrected) Corrected++;
        }
    }

    [InlineArray(Kept)]
    private struct Readings
    {
        private Reading _first;
    }
}
