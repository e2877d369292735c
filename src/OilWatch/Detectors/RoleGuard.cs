using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Watches one role's readings and says which are not to be believed.</summary>
/// <remarks>
/// | state   | sees                                         | does                          | next    |
/// |---------|----------------------------------------------|-------------------------------|---------|
/// | sound   | a possible reading                           | believes it                   | sound   |
/// | sound   | a reading beyond its range or an impossible step | masks it, waits            | doubted |
/// | doubted | an engine speed that rose by more than a crank can, and lies still there | Raised: offset | faulty |
/// | doubted | back where it was, soon                      | counts a wild reading         | sound   |
/// | doubted | moving on from the new level like a real one | believes it                   | sound   |
/// | doubted | dead, beyond its range, or flat              | Raised: dropout or rail       | faulty  |
/// | doubted | above all it ever showed, flickering by counts | Raised: rail                | faulty  |
/// | sound   | no reading for the report time               | Raised: dropout               | faulty  |
/// | sound   | the same value for too long                  | Raised: stuck, or rail at its own extreme | faulty |
/// | any     | several wild readings in a short time        | Raised: spikes, or slew when most came in runs | same |
/// | faulty  | possible and moving again                    | Ended                         | sound   |
/// A pressure cannot fall faster than the lag allows, and a crankshaft cannot be stopped in a tenth of a second: shape decides, not depth.
/// A pressure that came to zero by a possible way is therefore never taken for a stuck sensor, however long it stays there.
/// </remarks>
internal struct RoleGuard
{
    private const int WildToReport = 3;
    private const double UnknownS = 1;                 // what is wild is not known yet
    private const int LargeWildToReport = 2;           // two readings far out of all reason say as much as three doubtful ones
    private const double LargeWild = 5;                // in smallest spikes
    private const double LargeHeat = 2;                // of a quantity that cannot leap at all
    private const double ShakeS = 0.3;                 // one knock shakes an acceleration sensor for this long
    private const double HonestKnock = 1.75;           // in smallest spikes: a kerb does no more
    private const int RailsToLearn = 2;
    private const int SureReadings = 8;
    private const int FewReadings = 6;
    private const double RestS = 3;                    // a value at rest is not stuck sooner: a clean signal lies still on a straight
    private const double UnknownRestS = 45;            // longer than the way to the first corner of a log that begins in the pits
    private const double RestUsuals = 4;               // unless this many of its usual rests say that noise would have moved it
    private const double LeapSpikes = 0.3;             // a value that leaps by this many smallest spikes ...
    private const double LeapSteps = 12;               // ... and this many usual steps, and then stands still at once,
    private const double LeaptFlatS = 0.35;            // is stuck after this long, at rest or not
    private const double RoughStepS = 0.06;            // between slower readings a reversal may be real
    private const double RoughHoldS = 0.25;
    private const double LongRoughHoldS = 1;
    private const int RoughForLong = 3;
    private const double RailBands = 3;                // so many times what it flickered by is no flicker
    private const double RailMargin = 0.05;            // of all that the channel ever showed
    private const double WildWindowS = 3;
    private const double DoubtLimitS = 0.6;            // a doubt that nothing settles ends here: when in doubt the reading stands
    private const double SlowDoubtLimitS = 5;
    private const double LeaplessAfterS = 20;          // a log may begin with a reading that is none yet
    private const double LeastLeaptS = 0.35;           // what was impossible for this long is told once it is over, though it came to one reading
    private const double LongestLeapS = 60;            // then the reading stands again
    private const double LongestRoadLeapS = 120;       // of vehicle speed: no oil is judged by it, and gears would be taken for errors of the engine's
    private const double BackShare = 0.4;              // of the leap: a reading that stands for a mean may lie half way
    private const double QuietShare = 0.3;             // of a rise: how far the readings beside it may lie off
    private const double RoseForS = 0.075;             // how long they stay up there at least
    private const int FewRisen = 3;
    private const double RunningTimes = 5;             // of what is as good as nothing: an engine that is started gains its speed from there
    private const double RiseBackShare = 0.75;         // of the rise: a gear change is less
    private const double SilentUsuals = 3;
    private const double AlikeSilentUsuals = 2.1;      // two readings of a slow channel left out, not one, where they mostly come at one interval
    private const double ShortStuckS = 0.35;           // five readings at 10 Hz
    private const double SlowStuckS = 1;
    private const double HalfWayS = 0.21;              // one reading at 5 Hz
    private const double SnapS = 0.09;                 // two readings at 25 Hz
    private const double ShutPercent = 5;
    private const double OpenPercent = 95;
    private const double BrakeTimes = 3;               // a car brakes harder than with a wheel locked on the wet, by no more than this
    private const double SlackKmh = 2;
    private const double LiftedS = 0.25;               // after a lift the car pulls no longer
    private const double PulledS = 0.6;
    private const int FewPulled = 3;
    private const double PullingG = 0.1;               // with the throttle shut only drag and brakes act along the car
    private const double FasterTimes = 1.02;
    private const double NoSlowerTimes = 0.995;
    private const int ShortStuckReadings = 5;
    private const double FootKnownS = 45;              // between the stops
    private const int FewHeld = 1;
    private const double SteadyShare = 0.004;           // of the context: what moves less than this moves nothing that hangs on it by a step
    private const double StuckByChanceAnHour = 0.02;    // for a channel; what a car does now and then is not in it
    private const double StandsByChanceAnHour = 0.0002; // there are eight such channels
    private const double RestsByChanceAnHour = 1e-6;    // a foot that rests lets less of the noise through than one that moves
    private const double SlowUsualS = 20;              // a channel that usually rests for longer cannot be found stuck

    private State _state;
    private SensorFaultKind _kind;
    private LogTime _last;
    private LogTime _heldAt;
    private LogTime _lastGood;
    private double _good;
    private double _goodBefore;
    private bool _known;
    private LogTime? _soundSince;
    private LogTime _doubtSince;
    private int _doubtCount;
    private double _doubtValue;
    private double _doubtLow;
    private double _doubtHigh;
    private bool _doubtBeyond;
    private double _doubtFirst;
    private bool _mayRise;
    private bool _rose;
    private LogTime? _fellAt;
    private LogTime _faultSince;
    private LogTime _faultRaised;
    private double _faultLevel;
    private double _faultBand;
    private int _healthyCount;
    private bool _wentBack;
    private double _runValue;
    private LogTime _runSince;
    private int _runCount;
    private bool _runIsDue;
    private LogTime _runDueSince;
    private bool _runLeapt;
    private double _contextLow;
    private double _contextHigh;
    private LogTime _firstWild;
    private LogTime _lastWild;
    private int _wild;
    private bool _wildReported;
    private int _largeWild;
    private int _rough;
    private bool _isSlew;
    private double _raw;
    private double _rawBefore;
    private LogTime _rawAt;
    private LogTime _rawBeforeAt;
    private LogTime _lastRough;
    private int _roughInRow;
    private bool _everRough;
    private LogTime _wildRaised;
    private FlipWatch _flips;
    private BurstWatch _burst;
    private Shake _shake;
    private double _pullG;
    private double _lowest;
    private double _highest;
    private double _lowBefore;
    private double _highBefore;
    private bool _beforeKnown;
    private double _railLow;
    private double _railHigh;
    private int _railsLow;
    private int _railsHigh;
    private bool _learned;
    private double _previous;
    private double _beforePrevious;
    private double _usualStep;
    private double _followed;
    private bool _aliveAll;
    private double _pulledG;
    private int _pulled;
    private Flicker _flicker;

    private enum State
    {
        Sound,
        Doubted,
        Faulty,
    }

    /// <summary>How long the value normally stays the same.</summary>
    public RunLengths Runs;

    /// <summary>The same while it rests near zero.</summary>
    public RunLengths RestRuns;

    /// <summary>How long a slow channel is normally without a reading.</summary>
    public RunLengths Gaps;

    /// <summary>Faults reported in all.</summary>
    public int Faults { get; private set; }

    /// <summary>Wild readings counted in all.</summary>
    public long WildReadings { get; private set; }

    /// <summary>True while the latest reading is masked.</summary>
    public bool Masked { get; private set; }

    /// <summary>True while the latest readings look wrong but not surely so.</summary>
    public bool Suspect { get; private set; }

    /// <summary>True while a fault lasts.</summary>
    public readonly bool IsFaulty => _state == State.Faulty;

    /// <summary>True while the latest readings are doubted and lie above the last that was believed.</summary>
    public readonly bool IsDoubtedHigh => _state == State.Doubted && _doubtLow > _good;

    /// <summary>True while the latest readings are doubted.</summary>
    public readonly bool IsDoubted => _state == State.Doubted;

    /// <summary>True while the readings come as through a loose connection.</summary>
    public readonly bool IsLoose => _wildReported && _isSlew;

    /// <summary>True when the latest slew was known from its first leap on, since it went to and fro between two levels.</summary>
    public bool HasFlipped { get; private set; }

    /// <summary>Takes over what a look at the whole run learned of the channel; from now on nothing is learned twice.</summary>
    public void LearnFrom(in RoleGuard other)
    {
        Runs = other.Runs;
        RestRuns = other.RestRuns;
        Gaps = other.Gaps;
        _flicker = other._flicker;
        _learned = true;
    }

    /// <summary>
    /// The short way for a reading that nothing has to be asked of: of this instant, changed, within its range, and nearer to the last than a spike. Most are.
    /// It does what <see cref="Step"/> does; false, with nothing done, where that has to be asked.
    /// </summary>
    /// <inheritdoc cref="Step"/>
    public bool TryStepPlainly(LogTime at, double value, in GuardRule rule, double context, bool judged, bool shouldMove, bool alive)
    {
        double least = rule.LeastSpike, leap = Math.Abs(value - _raw);
        if (!(leap < least && leap < rule.LeastFlip && leap < rule.LeastTurn) || value == _runValue || _state != State.Sound || !_known || _everRough || _wildReported
            || !(Math.Abs(value - _good) < least) || !(Math.Abs(value - _previous) < least) || value < rule.Low || value > rule.High
            || (rule.LearnsRails && (_railsHigh >= RailsToLearn || _railsLow >= RailsToLearn)) || (rule.Follows && rule.IsAhead(Follow(at, value, rule), value))) return false;
        if (!_learned)
        {
            if (rule.IsSlow) Gaps.Add(at.SecondsSince(_last));
            LearnRun(at, value, rule, shouldMove, alive);
        }
        _last = at;
        BeginRun(at, value, rule, context, alive);
        Believe(at, value, rule);
        if (judged) FollowSteps(at, value, rule);
        (_rawBefore, _rawBeforeAt) = (_raw, _rawAt);
        (_raw, _rawAt) = (value, at);
        if (rule.LeastTurn < GuardRule.Never && judged) _burst.Follow(leap, rule.LeastTurn);
        Masked = false;
        Suspect = false;
        return true;
    }

    /// <summary>Readings that were taken turned out to be repeats: how long the channel is usually silent is to be learned anew.</summary>
    public void ForgetRepeats()
    {
        if (!_learned) Gaps = default;
    }

    /// <summary>Looks at one reading (NaN when the role has none now) and says what to believe.</summary>
    /// <param name="at">When.</param>
    /// <param name="value">The reading.</param>
    /// <param name="fresh">True when it is a reading of this instant, not one held from before.</param>
    /// <param name="isRagged">True where it stands for several that lay apart as those of one moment cannot.</param>
    /// <param name="rule">What is possible for the role.</param>
    /// <param name="context">A quantity that must move this one with it (engine speed for pressure); NaN when not known.</param>
    /// <param name="judged">False while the engine stands: then only the range is looked at.</param>
    /// <param name="shouldMove">True when the engine's or the car's state says that the value cannot stay the same.</param>
    /// <param name="alive">True when noise, where the channel has any, must move the value.</param>
    /// <param name="pullG">Longitudinal acceleration, g, or NaN.</param>
    /// <param name="shake">What is known of a knock on the whole car at this moment: a wild reading may then be honest.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(
        LogTime at, double value, bool fresh, bool isRagged, in GuardRule rule, double context, bool judged, bool shouldMove, bool alive, double pullG, Shake shake, ref FaultChanges changes)
    {
        if (!judged) _burst.Forget();
        EndQuietSpikes(at, rule, ref changes);
        _shake = shake;
        _pullG = pullG;
        if (!double.IsFinite(value))
        {
            _burst.Forget();
            if (_known || !rule.IsSlow) Absent(at, fresh, rule, ref changes);
            return;
        }
        if (!fresh)
        {
            if ((rule.CannotLeap || rule.IsSlow) && _known) Wait(at, rule, ref changes);
            else if (_state != State.Faulty) _heldAt = at;
            Masked = _state != State.Sound || _burst.IsOn;
            return;
        }
        if (judged && _known && rule.LeastTurn < GuardRule.Never && IsInBurst(at, value, isRagged, rule, ref changes)) return;
        double step = _known ? at.SecondsSince(_last) : double.PositiveInfinity;
        if (rule.IsSlow && _known && !_learned) Gaps.Add(step);
        _last = at;
        FollowRun(at, value, rule, context, shouldMove, alive);
        switch (_state)
        {
            case State.Sound: Sound(at, value, judged ? step : double.PositiveInfinity, rule, context, shouldMove, alive, ref changes); break;
            case State.Doubted: Doubted(at, value, rule, ref changes); break;
            default: Faulty(at, value, rule, rule.ZeroIsPossible ? judged : shouldMove, ref changes); break;
        }
        if (judged) CountIsolated(at, value, rule, ref changes);
        if (rule.LagForbidsReversals) FollowRough(at, value, judged, rule, ref changes);
        if (judged && _known && (Times(value, _raw, rule) || Times(_raw, value, rule)) && _flips.Step(at, _rawBefore, _raw, value, Math.Max(rule.LeastFlip, 10 * _usualStep))) TellFlips(at, rule, ref changes);
        (_rawBefore, _rawBeforeAt) = (_raw, _rawAt);
        (_raw, _rawAt) = (value, at);
        Masked = _state != State.Sound;
        Suspect = _state == State.Doubted || (_state == State.Sound && (RunIsOdd(at, rule, shouldMove) || IsRough(at)));
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        if (_state == State.Faulty && Reported) changes.Add(Fault(rule, at, EventEnd.LogEnded));
        if (_wildReported) changes.Add(Spikes(rule, at, EventEnd.LogEnded));
        _state = State.Sound;
        _wildReported = false;
    }

    private bool Reported { get; set; }

    /// <summary>A burst of noise is one fault, and nothing in it is believed.</summary>
    private bool IsInBurst(LogTime at, double value, bool isRagged, in GuardRule rule, ref FaultChanges changes)
    {
        bool wasOn = _burst.IsOn;
        if (_burst.Step(_rawBefore, _raw, _rawAt, at, value, isRagged, rule))
        {
            WildReadings++;
            _wild++;
            _lastWild = at;
            if (!_wildReported) TellBurst(at, rule, ref changes);
        }
        if (!_burst.IsOn)
        {
            if (!wasOn) return false;
            EndQuietSpikes(at, rule, ref changes);
            Believe(at, value, rule);
            return false;
        }
        if (_state == State.Faulty && Reported) changes.Add(Fault(rule, at, EventEnd.Recovered));
        _state = State.Sound;
        _runCount = 0;
        _last = at;
        (_beforePrevious, _previous) = (double.NaN, double.NaN);
        (_rawBefore, _rawBeforeAt) = (_raw, _rawAt);
        (_raw, _rawAt) = (value, at);
        Masked = true;
        Suspect = false;
        return true;
    }

    private void TellBurst(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        _wildReported = true;
        _isSlew = HasFlipped = false;
        _firstWild = _burst.Since;
        _wildRaised = at;
        Faults++;
        changes.Add(Spikes(rule, at, EventEnd.Open));
    }

    /// <summary>Time goes on without a reading of a slow quantity: one that was impossible stands where it cannot leap, or the channel is silent.</summary>
    private void Wait(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        if (_state == State.Doubted)
        {
            if (!rule.CannotLeap || at.SecondsSince(_doubtSince) < LeastLeaptS || !IsSettled(_doubtSince)) return;
            EnterFault(SensorFaultKind.Offset, _doubtSince, at, _doubtValue - _good);
        }
        else if (_state == State.Sound)
        {
            _heldAt = at;
            if (!Gaps.AreAlike || at.SecondsSince(_last) < Silence(rule)) return;
            EnterFault(SensorFaultKind.Dropout, _last, at, double.NaN);
        }
        Report(at, rule, ref changes);
    }

    /// <summary>True when a sound reading was there for long before: a log may begin with one that is none yet.</summary>
    private readonly bool IsSettled(LogTime at) => _soundSince is { } since && at.SecondsSince(since) > LeaplessAfterS;

    private readonly double Silence(in GuardRule rule) =>
        Math.Max(rule.SureAfterS, (Gaps.AreAlike ? AlikeSilentUsuals : SilentUsuals) * Gaps.UsualS(untilKnown: 10));

    private void Absent(LogTime at, bool told, in GuardRule rule, ref FaultChanges changes)
    {
        Masked = _known && !rule.IsSlow;
        Suspect = false;
        _runCount = 0;
        if (!_known) return;
        if (_state != State.Faulty)
        {
            LogTime since = _state == State.Doubted ? _doubtSince : told && rule.IsSlow && _heldAt > _last ? _heldAt : _last;
            double silence = rule.IsSlow && !told ? Silence(rule) : rule.SureAfterS;
            if (at.SecondsSince(since) < silence) return;
            EnterFault(SensorFaultKind.Dropout, since, at, double.NaN);
        }
        Report(at, rule, ref changes);
    }

    private void Sound(LogTime at, double value, double step, in GuardRule rule, double context, bool shouldMove, bool alive, ref FaultChanges changes)
    {
        bool beyond = IsBeyond(value, rule);
        if (beyond || (_known && step < (rule.IsSlow ? 10 : 1) && IsImpossible(at, value, rule)))
        {
            if (rule.Follows && _known) _good = Follow(at, _good, rule);
            _state = State.Doubted;
            _doubtSince = at;
            _doubtCount = 1;
            _doubtValue = _doubtLow = _doubtHigh = value;
            _doubtBeyond = beyond;
            _doubtFirst = value;
            _mayRise = !beyond && MayRise(at, value, rule);
            _rose = _mayRise && RoseTooFast(at, value, rule);
            return;
        }
        if (RunIsStuck(at, rule, shouldMove) || StandsStill(at, rule, context, alive))
        {
            EnterFault(rule.CannotLeap ? SensorFaultKind.Stuck : KindOfFlat(value, rule), _runSince, at, value);
            Report(at, rule, ref changes);
            return;
        }
        Believe(at, value, rule);
    }

    private void Doubted(LogTime at, double value, in GuardRule rule, ref FaultChanges changes)
    {
        double doubtS = at.SecondsSince(_doubtSince);
        bool beyond = IsBeyond(value, rule);
        if (!beyond && rule.IsNear(_good, value, at.SecondsSince(_lastGood), 8 * _usualStep) && !rule.IsDead(value, _good))
        {
            if (_doubtCount > 1 && _doubtHigh - _doubtLow > Math.Max(rule.LeastSpike, 8 * _usualStep)) _rough++;
            if (rule.CannotLeap && doubtS >= LeastLeaptS && IsSettled(_doubtSince))
            {
                EnterFault(SensorFaultKind.Offset, _doubtSince, at, _doubtValue - _good);
                Report(at, rule, ref changes);
                if (Reported) changes.Add(Fault(rule, at, EventEnd.Recovered));
            }
            else if (doubtS <= Limit(rule) / 2 && (rule.CountsWild || _doubtBeyond)) CountWild(at, Math.Max(_doubtHigh - _good, _good - _doubtLow), rule, ref changes);
            Believe(at, value, rule);
            return;
        }
        _doubtCount++;
        // A mean over the moment of a dropout lies half way: what counts is where it went.
        if (_doubtCount == 2 && ((rule.IsDead(value, _good) && !rule.IsDead(_doubtValue, _good)) || (rule.RailFlicker > 0 && value > _doubtValue && _doubtValue > _good))) _doubtLow = _doubtHigh = value;
        _doubtLow = Math.Min(_doubtLow, value);
        _doubtHigh = Math.Max(_doubtHigh, value);
        _doubtBeyond &= beyond;
        if (rule.CannotLeap && !_doubtBeyond && IsSettled(_doubtSince))
        {
            // No heat is that quick, however quietly the reading goes on from there.
            _doubtValue = value;
            if (doubtS < rule.ReportAfterS) return;
            EnterFault(SensorFaultKind.Offset, _doubtSince, at, value - _good);
            Report(at, rule, ref changes);
            return;
        }
        bool flat = _doubtHigh - _doubtLow <= 1e-9 * Math.Max(1, Math.Abs(value));
        bool dead = rule.IsDead(_doubtHigh, _good);
        bool flickers = !flat && FlickersAtTop(value, rule);
        if (flickers && _doubtCount >= 4 && doubtS >= 0.15)
        {
            EnterFault(SensorFaultKind.Rail, _doubtSince, at, value);
            _faultBand = RailBands * rule.RailFlicker * value;
            Report(at, rule, ref changes);
            return;
        }
        if (_doubtBeyond || dead || (flat && _doubtCount >= 4 && doubtS >= 0.15))
        {
            if (doubtS < rule.ReportAfterS && !(flat && _doubtCount >= 4)) return;
            EnterFault(dead && !_doubtBeyond ? SensorFaultKind.Dropout : SensorFaultKind.Rail, _doubtSince, at, value);
            if (_kind == SensorFaultKind.Rail && flat) LearnRail(value);
            Report(at, rule, ref changes);
            return;
        }
        if (_doubtCount == 2 && _mayRise && value > _doubtFirst)
        {
            // What stands for the mean over the moment of the rise lay half way.
            _doubtFirst = value;
            _rose |= RoseTooFast(at, value, rule);
        }
        _rose &= !beyond && Math.Abs(value - _doubtFirst) <= QuietShare * (_doubtFirst - _good);
        if (_rose && !flat)
        {
            _doubtValue = value;
            if (_doubtCount < FewRisen || doubtS < RoseForS) return;
            EnterFault(SensorFaultKind.Offset, _doubtSince, at, _doubtFirst - _good);
            Report(at, rule, ref changes);
            return;
        }
        bool movesOn = !flat && !flickers && !beyond && !rule.IsDead(value, _good) && !rule.IsImpossible(_doubtValue, value, at.SecondsSince(_doubtSince), 8 * _usualStep);
        _doubtValue = value;
        if (!(movesOn && _doubtCount >= 2) && doubtS <= Limit(rule)) return;
        if (_good - value >= rule.LeastRise) _fellAt = at;
        Believe(at, value, rule);
    }

    private void Faulty(LogTime at, double value, in GuardRule rule, bool cannotBeNothing, ref FaultChanges changes)
    {
        bool sound = _kind switch
        {
            SensorFaultKind.Stuck => value != _faultLevel,
            SensorFaultKind.Rail when !rule.CannotLeap || !IsSettled(_faultSince) => !IsBeyond(value, rule) && (_faultBand > 0 ? Math.Abs(value - _faultLevel) > _faultBand : value != _faultLevel),
            SensorFaultKind.Rail when IsBeyond(value, rule) => false,
            SensorFaultKind.Offset when rule.LeastRise < GuardRule.Never => HasLeaptBack(Math.Max(_raw, _rawBefore), value, RiseBackShare) || at.SecondsSince(_faultSince) > LongestLeapS,
            SensorFaultKind.Offset when rule.MayFall => HasLeaptBack(_raw, value, BackShare) || at.SecondsSince(_faultSince) > LongestRoadLeapS,
            SensorFaultKind.Offset or SensorFaultKind.Rail => rule.IsNear(_good, value, at.SecondsSince(_lastGood), 8 * _usualStep) || at.SecondsSince(_faultSince) > LongestLeapS,
            _ => (value >= rule.Low && value <= rule.High && !rule.IsDead(value, _good)) || !cannotBeNothing,
        };
        _healthyCount = sound ? _healthyCount + 1 : 0;
        if (_healthyCount < (_kind == SensorFaultKind.Stuck ? 1 : 2))
        {
            Report(at, rule, ref changes);
            return;
        }
        if (Reported) changes.Add(Fault(rule, at, EventEnd.Recovered));
        Believe(at, value, rule);
    }

    /// <summary>The leap that is doubted led back from an error that another rule knew: what is read is right.</summary>
    public void LedBack(LogTime at, in GuardRule rule)
    {
        if (_state == State.Doubted) Believe(at, _raw, rule);
    }

    /// <summary>True since the reading leapt the other way: a car may come to any speed while its sensor is off, and near to what was right says nothing after some seconds.</summary>
    private bool HasLeaptBack(double from, double value, double share)
    {
        double back = (from - value) / _faultLevel;
        if (Math.Abs(back) > share) _wentBack = back > 0;
        return _wentBack;
    }

    /// <summary>
    /// True where an engine that ran may seem to rise from here. What fell so before may be on its way back. Where readings are repeated, the one before may be of any time since the last change.
    /// </summary>
    private readonly bool MayRise(LogTime at, double value, in GuardRule rule) =>
        rule.LeastRise < GuardRule.Never && value > _good && _good > RunningTimes * rule.DeadAt && at.SecondsSince(_lastGood) <= RoughStepS && _raw != _rawBefore
        && _rawAt.SecondsSince(_rawBeforeAt) <= RoughStepS && !(_fellAt is { } fell && at.SecondsSince(fell) <= LongestLeapS);

    /// <summary>True where the value rose faster than anything with its inertia can, from a level at which it lay still or through one reading half way.</summary>
    private readonly bool RoseTooFast(LogTime at, double value, in GuardRule rule)
    {
        if (IsRise(value - _good, at.SecondsSince(_lastGood), rule) && Math.Abs(_good - _goodBefore) <= QuietShare * (value - _good)) return true;
        return _doubtCount == 1 && _good > _goodBefore && IsRise(value - _goodBefore, at.SecondsSince(_rawBeforeAt), rule);
    }

    private static bool IsRise(double rise, double seconds, in GuardRule rule) => rise >= rule.LeastRise * Math.Max(1, seconds / RoughStepS);

    private void Believe(LogTime at, double value, in GuardRule rule)
    {
        if (rule.Follows) _followed = _known ? Follow(at, value, rule) : value;
        _state = State.Sound;
        _soundSince ??= at;
        _goodBefore = _known ? _good : value;
        _good = value;
        _lastGood = at;
        if (!_known || value < _lowest) _lowest = value;
        if (!_known || value > _highest) _highest = value;
        _known = true;
        _healthyCount = 0;
    }

    /// <summary>True when the doubted readings stand above all that the channel ever showed, and flicker there by no more than a converter does: the wire is off, and full scale is read.</summary>
    private readonly bool FlickersAtTop(double value, in GuardRule rule) =>
        rule.RailFlicker > 0 && _doubtCount >= 2 && _doubtHigh - _doubtLow <= rule.RailFlicker * value && _doubtLow > _highest + (RailMargin * (_highest - _lowest));

    private static double Limit(in GuardRule rule) => rule.IsSlow ? SlowDoubtLimitS : DoubtLimitS;

    private readonly bool IsBeyond(double value, in GuardRule rule) =>
        value < rule.Low || value > rule.High
        || (rule.LearnsRails && ((_railsHigh >= RailsToLearn && value == _railHigh) || (_railsLow >= RailsToLearn && value == _railLow)));

    /// <summary>A value that stands still at the end of all that the channel ever showed is a rail; elsewhere it is stuck.</summary>
    private SensorFaultKind KindOfFlat(double level, in GuardRule rule)
    {
        double margin = RailMargin * (_highBefore - _lowBefore);
        if (!_beforeKnown) return SensorFaultKind.Stuck;         // nothing to be an end of
        bool again = (_railsHigh > 0 && level == _railHigh) || (_railsLow > 0 && level == _railLow);
        if (!(again || level > _highBefore + margin || level < _lowBefore - margin)) return SensorFaultKind.Stuck;
        if (!rule.RestsAt(level)) LearnRail(level);
        return SensorFaultKind.Rail;
    }

    private void LearnRail(double level)
    {
        if (level > _highBefore || (_railsHigh > 0 && level == _railHigh))
        {
            _railsHigh = level == _railHigh ? _railsHigh + 1 : 1;
            _railHigh = level;
        }
        else if (level < 0 && (level < _lowBefore || (_railsLow > 0 && level == _railLow)))           // zero is a rail of many sensors, and a true reading of all of them
        {
            _railsLow = level == _railLow ? _railsLow + 1 : 1;
            _railLow = level;
        }
    }

    private void EnterFault(SensorFaultKind kind, LogTime since, LogTime at, double level)
    {
        _state = State.Faulty;
        _kind = kind;
        _faultSince = since;
        _faultRaised = at;
        _faultLevel = level;
        _faultBand = 0;
        _healthyCount = 0;
        _wentBack = false;
        Reported = false;
    }

    /// <summary>True while there is no reading, or has been the same one since the fault began: a reading that stands for a mean may lie half way.</summary>
    private readonly bool IsSure => double.IsNaN(_faultLevel) || (_runCount >= ShortStuckReadings - 1 && _runSince.SecondsSince(_faultSince) <= HalfWayS);

    private void Report(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        if (Reported || at.SecondsSince(_faultSince) < (IsSure ? rule.SureAfterS : rule.ReportAfterS)) return;
        Reported = true;
        Faults++;
        _faultRaised = at;
        changes.Add(Fault(rule, at, EventEnd.Open));
    }

    private readonly SensorFault Fault(in GuardRule rule, LogTime at, EventEnd ending) =>
        new(rule.Role, _kind, _faultSince, _faultRaised, at, ending, _faultLevel, _kind == SensorFaultKind.Offset ? 1 : 0);     // one leap

    private readonly SensorFault Spikes(in GuardRule rule, LogTime at, EventEnd ending) =>
        new(rule.Role, _isSlew ? SensorFaultKind.Slew : SensorFaultKind.Spikes, _firstWild, _wildRaised, at, ending, double.NaN, _wild);

    private void FollowRun(LogTime at, double value, in GuardRule rule, double context, bool shouldMove, bool alive)
    {
        if (_runCount > 0 && value == _runValue && at.SecondsSince(_last) < 5)
        {
            _runCount++;
            if (!_runIsDue) (_runIsDue, _runDueSince) = shouldMove ? (true, _runDueSince) : (false, at);
            _contextLow = Math.Min(_contextLow, context);
            _contextHigh = Math.Max(_contextHigh, context);
            _aliveAll &= alive;
            if (rule.RestsAtEnds && at.SecondsSince(_runSince) > LiftedS) _pulledG += (_pullG - _pulledG) / ++_pulled;
            return;
        }
        if (!_learned) LearnRun(at, value, rule, shouldMove, alive);
        BeginRun(at, value, rule, context, alive);
    }

    private void BeginRun(LogTime at, double value, in GuardRule rule, double context, bool alive)
    {
        if (_state == State.Sound)
        {
            _lowBefore = _lowest;
            _highBefore = _highest;
            _beforeKnown = _known;
        }
        double leap = Math.Abs(value - _raw);
        _runLeapt = _known && _state == State.Sound && leap > LeapSpikes * rule.LeastSpike && leap > LeapSteps * _usualStep;
        _runValue = value;
        _runSince = _runDueSince = at;
        _runIsDue = false;
        _runCount = 1;
        _aliveAll = alive;
        _pulled = 0;
        _pulledG = 0;
        _contextLow = _contextHigh = context;
    }

    private void LearnRun(LogTime at, double value, in GuardRule rule, bool shouldMove, bool alive)
    {
        if (rule.Flickers && alive && _runCount > 0 && _state == State.Sound && !Rests(rule)) _flicker.Add(_runValue, value, at.SecondsSince(_runSince));
        // A run taken for stuck is learned too: what keeps coming back is the channel's way, what comes once is not usual yet.
        if (_runCount == 0 || !shouldMove || (_state != State.Sound && (_state != State.Faulty || _kind != SensorFaultKind.Stuck))) return;
        double seconds = at.SecondsSince(_runSince);
        // A foot rests at the stops for as long as it likes; in between it does not know how to.
        if (!rule.RestsAtEnds || !Rests(rule)) Runs.Add(seconds);
        if (rule.RestsAt(_runValue)) RestRuns.Add(seconds);
    }

    private readonly bool RunIsOdd(LogTime at, in GuardRule rule, bool shouldMove) =>
        shouldMove && _runCount >= 3 && !rule.RestsAt(_runValue)
        && at.SecondsSince(_runSince) > (ContextMoved(rule) ? 0.5 : 1.5) * Runs.UsualS(untilKnown: 0.3);

    private readonly bool ContextMoved(in GuardRule rule) =>
        _contextHigh - _contextLow > rule.ContextMove * Math.Max(Math.Abs(_contextHigh), 1e-3);

    private readonly bool RunIsStuck(LogTime at, in GuardRule rule, bool shouldMove)
    {
        if (!shouldMove || _runCount < ShortStuckReadings || rule.StuckAfterS >= GuardRule.Never) return false;
        double lasts = at.SecondsSince(_runDueSince);
        if (rule.IsSlow)
        {
            if (_runCount < FewReadings || (rule.RestsAtEnds && MayBeHeld(lasts))) return false;
            double usual = Runs.UsualS(untilKnown: double.PositiveInfinity);
            if (rule.RestsAtEnds && lasts > SlowStuckS && !Rests(rule) && ContextMoved(rule) && IsNoChance(Runs, lasts + at.SecondsSince(_rawAt))) return true;
            return usual < SlowUsualS && lasts > Math.Max(rule.StuckAfterS, rule.StuckUsuals * usual) && ContextMoved(rule) && !Rests(rule);
        }
        bool rests = Rests(rule);
        if (rests && rule.ZeroIsPossible && (_highest > rule.RestBand || _lowest < -rule.RestBand)) return false;
        if (rule.ZeroIsPossible && _runValue >= 0 && _runValue <= rule.StandsUpTo && _highest > 2 * rule.StandsUpTo) return false;
        bool steady = lasts < rule.SteadyS && !(_contextHigh - _contextLow > SteadyShare * _contextHigh);
        if (!steady && !rule.Flickers && lasts > ShortStuckS && (!rule.MayStand || ContextMoved(rule)) && IsNoChance(rests ? RestRuns : Runs, lasts + at.SecondsSince(_rawAt))) return true;
        if (_runCount < FewReadings) return false;
        double usualS = Runs.UsualS(untilKnown: 0.5);
        double limit = Math.Max(rule.StuckAfterS, rule.StuckUsuals * usualS);
        // Once the channel's habits are known, far more than usual is enough by itself; before that the context must have moved.
        bool sure = Runs.IsKnown && _runCount >= SureReadings;
        if (rests)
        {
            if (_runLeapt && !rule.MayFall && Runs.IsKnown && lasts > Math.Max(LeaptFlatS, 2 * usualS)) return true;
            if (RestRuns.IsKnown && lasts > Math.Max(rule.StuckAfterS, RestUsuals * RestRuns.UsualS(untilKnown: RestS))) return true;
            return lasts > (sure ? Math.Max(RestS, 3 * limit) : UnknownRestS);
        }
        if (ContextMoved(rule)) return lasts > limit;
        return !steady && lasts > (sure ? Math.Max(rule.StuckAfterS, 1.4 * rule.StuckUsuals * usualS) : Math.Max(2, 1.5 * limit));
    }

    /// <summary>True unless the channel was seen to move for long, and hardly ever stood for half as long: a foot that holds the pedal through a corner does so in others too.</summary>
    private readonly bool MayBeHeld(double seconds) => Runs.SecondsInAll < FootKnownS || Runs.AtLeast(seconds / 2) > (_learned ? FewHeld + 1 : FewHeld);

    /// <summary>True where noise would have moved the value, and it stands.</summary>
    private readonly bool StandsStill(LogTime at, in GuardRule rule, double context, bool alive)
    {
        if (!rule.Flickers || !alive || !_aliveAll || _runCount < ShortStuckReadings || !_flicker.IsNoise) return false;
        double lasts = at.SecondsSince(_runSince);
        if (_flicker.IsCommon(lasts)) return false;
        if (lasts < (rule.MaySnap && !Rests(rule) ? SlowStuckS : ShortStuckS) || (rule.RestsAtEnds && !Rests(rule) && MayBeHeld(lasts))) return false;
        if (Rests(rule)) return _runLeapt && (!rule.RestsAtEnds || WasPulled(lasts, context));
        return (_runLeapt && !rule.MaySnap) || (_runCount >= FewReadings && lasts >= rule.LeastStandS && _flicker.TimesAnHour(lasts + at.SecondsSince(_rawAt)) < (rule.MaySnap ? RestsByChanceAnHour : StandsByChanceAnHour));
    }

    /// <summary>True where the car was pushed and the engine grew faster all the while: a throttle that leapt shut and stays there to the last digit was not shut.</summary>
    private readonly bool WasPulled(double lasts, double rpm) =>
        lasts > PulledS && _pulled >= FewPulled && _pulledG > PullingG && _runValue < ShutPercent && rpm > NoSlowerTimes * _contextHigh && rpm > FasterTimes * _contextLow;

    /// <summary>The value that moves no faster than this one can.</summary>
    private readonly double Follow(LogTime at, double value, in GuardRule rule)
    {
        double seconds = at.SecondsSince(_lastGood), fall = rule.FallPerS * seconds;
        if (rule.MayFall && value >= _followed - (BrakeTimes * fall) - SlackKmh) return Math.Min(value, _followed + (rule.RisePerS * seconds));
        return Math.Clamp(value, _followed - fall, _followed + (rule.RisePerS * seconds));
    }

    private readonly bool IsImpossible(LogTime at, double value, in GuardRule rule) =>
        (rule.Follows && rule.IsAhead(Follow(at, value, rule), value))
        || rule.IsImpossible(rule.MayFall ? Math.Max(_good, Follow(at, _good, rule)) : _good, value, at.SecondsSince(_lastGood), 8 * _usualStep);

    /// <summary>True when noise alone makes such a run so seldom that it was not noise.</summary>
    private static bool IsNoChance(in RunLengths runs, double seconds) => runs.IsKnown && runs.TimesAnHour(seconds) < StuckByChanceAnHour;

    private readonly bool Rests(in GuardRule rule) => rule.RestsAt(_runValue) || (rule.RestsAtEnds && (_runValue is <= ShutPercent or >= OpenPercent || IsAtEnd(_runValue)));

    private readonly bool IsAtEnd(double value)
    {
        double near = RailMargin * (_highest - _lowest);
        return value <= _lowest + near || value >= _highest - near;
    }

    /// <summary>A single reading far from both its neighbours, which agree with each other, is wild even where its step was possible.</summary>
    private void CountIsolated(LogTime at, double value, in GuardRule rule, ref FaultChanges changes)
    {
        if (_state != State.Sound) { _beforePrevious = _previous = double.NaN; return; }
        double up = _previous - _beforePrevious, down = _previous - value;
        double across = Math.Abs(value - _beforePrevious);
        double least = Math.Min(Math.Abs(up), Math.Abs(down));
        bool isolated = up * down > 0 && least > Math.Max(10 * _usualStep, rule.LeastSpike) && across < 0.3 * least;
        if (isolated && MayBeWild(at, value, rule)) CountWild(at, least, rule, ref changes);
        FollowSteps(at, value, rule);
    }

    /// <summary>True where nothing honest makes the reading before this one.</summary>
    private readonly bool MayBeWild(LogTime at, double value, in GuardRule rule)
    {
        if (rule.MaySnap) return at.SecondsSince(_rawBeforeAt) <= SnapS && Math.Min(value, _beforePrevious) > ShutPercent;
        if (rule.MayFall) return value > _previous && _aliveAll;        // what rises too fast is doubted anyway; what falls with the brakes on is a wheel that locks
        return Times(_previous, Math.Max(Math.Abs(value), Math.Abs(_beforePrevious)), rule);
    }

    private static bool Times(double high, double low, in GuardRule rule) => Math.Abs(high) >= rule.SpikeTimes * Math.Abs(low);

    private void FollowSteps(LogTime at, double value, in GuardRule rule)
    {
        double change = Math.Abs(value - _previous);
        if (double.IsFinite(change) && !IsRough(at)) SlowMean.FollowStep(ref _usualStep, change, 0.2 * rule.LeastSpike);
        _beforePrevious = _previous;
        _previous = value;
    }

    /// <summary>A value that leaps one way and back the other from reading to reading, as no value behind a lag can, is nonsense for a while.</summary>
    private void FollowRough(LogTime at, double value, bool judged, in GuardRule rule, ref FaultChanges changes)
    {
        double before = _raw - _rawBefore, now = value - _raw;
        double least = Math.Min(Math.Abs(before), Math.Abs(now));
        bool close = at.SecondsSince(_rawAt) <= RoughStepS && _rawAt.SecondsSince(_rawBeforeAt) <= RoughStepS;
        if (judged && _known && close && before * now < 0 && least > Math.Max(2 * rule.LeastSpike, 10 * _usualStep))
        {
            _roughInRow = _everRough && at.SecondsSince(_lastRough) <= WildWindowS ? _roughInRow + 1 : 1;
            _everRough = true;
            _lastRough = at;
            if (Math.Abs(value - _rawBefore) > 0.3 * least && _roughInRow > 1)
            {
                _rough++;
                CountWild(at, least, rule, ref changes);
            }
        }
    }

    private readonly bool IsRough(LogTime at) =>
        _everRough && at.SecondsSince(_lastRough) <= (_roughInRow >= RoughForLong ? LongRoughHoldS : RoughHoldS);

    private void CountWild(LogTime at, double size, in GuardRule rule, ref FaultChanges changes)
    {
        if (_soundSince is not { } since || at.SecondsSince(since) < UnknownS || (_shake == Shake.Felt && size < HonestKnock * rule.LeastSpike)) return;
        WildReadings++;
        if (_wild == 0 || at.SecondsSince(_lastWild) > WildWindowS)
        {
            _wild = _largeWild = 0;
            _rough = Math.Min(_rough, 1);                    // the excursion that ends here, if it was one
            _firstWild = at;
        }
        else if (_shake == Shake.Unknown && at.SecondsSince(_lastWild) < ShakeS)
        {
            _lastWild = at;
            return;
        }
        _wild++;
        if (size > (rule.CannotLeap ? LargeHeat : LargeWild) * rule.LeastSpike) _largeWild++;
        _lastWild = at;
        if (_wildReported || (_wild < WildToReport && _largeWild < LargeWildToReport)) return;
        _wildReported = true;
        _isSlew = 2 * _rough >= _wild;
        HasFlipped = false;
        Faults++;
        _wildRaised = at;
        changes.Add(Spikes(rule, at, EventEnd.Open));
    }

    private void TellFlips(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        HasFlipped = true;
        if (_wildReported)
        {
            _isSlew = true;
            _lastWild = at;
            return;
        }
        _firstWild = _flips.Since;
        _lastWild = _wildRaised = at;
        _wild = _rough = _flips.Count;
        _wildReported = _isSlew = true;
        WildReadings += _wild;
        Faults++;
        changes.Add(Spikes(rule, at, EventEnd.Open));
    }

    private void EndQuietSpikes(LogTime at, in GuardRule rule, ref FaultChanges changes)
    {
        if (!_wildReported || _burst.IsOn || at.SecondsSince(_lastWild) <= WildWindowS) return;
        _wildReported = false;
        changes.Add(Spikes(rule, _lastWild, EventEnd.Recovered));
        _wild = _largeWild = _rough = 0;
    }
}
