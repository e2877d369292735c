using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>Masks readings that are not to be believed before anything is judged by them, and says what is wrong with them.</summary>
/// <remarks>
/// Causal: it knows only frames up to now. One instance a run. The rule that keeps a real loss from being taken for a fault: pressure that comes down by a way
/// that the lag of gallery and sensor allows is believed, however deep, and stays believed at zero; only what is too fast for it, stands still to the last digit
/// elsewhere, or lies beyond the sensor's range is not.
/// </remarks>
internal sealed class SensorGuard
{
    private const double StoppedRpm = 50;
    private const double StandingKmh = 1.5;
    private const double ShakeG = 0.45;
    private const double ShakeS = 0.25;
    private const double CorneringG = 0.4;
    private const double CorneredForS = 2;             // a car that has been pulling this much for this long is moving
    private const double LivelyRpm = 1200;
    private const double BrakingG = -0.25;
    private const double HeldS = 2;
    private const double LeapS = 0.5;                    // a leap and the readings that tell what it was are over by then
    private const double PumpedKpa = 150;              // beyond what a sensor of absolute pressure shows of a standing engine
    private const double LongestGapS = 5;
    private const double LeastGapS = 0.5;
    private const double GapUsuals = 10;               // and this many times what usually lies between two frames
    private const double ShakyBeforeS = 3;             // a loose connection is proved only some bursts after its first
    private const double ShakyAfterS = 0.25;
    private const double RanRpm = 400;                 // no starter turns an engine so fast
    private const double MovedKmh = 5;
    private const double RolledKmh = 1.5;              // what a car at rest shows keeps to this ...
    private const double SwayedG = 0.25;               // ... and to this, with somebody getting in
    private const double DrivenKmh = 40;               // then an engine speed of nothing may be none
    private const double SettleS = 5;                  // springs and what a crankcase holds
    private const double OilSettleS = 1;               // what drains for longer is seen to
    private const double IdleRpm = 1500;

    private readonly SensorGuardOptions _options;
    private readonly GuardRule[] _rules;
    private readonly RoleGuard[] _guards;
    private readonly Traits[] _traits;
    private readonly StandingWatch.Rule[] _standingRules;
    private readonly StandingWatch[] _standing;
    private bool _everRan;
    private double _firstKmh = double.NaN;
    private double _restKmh = double.NaN;
    private double _restLateralG = double.NaN;
    private double _restLongitudinalG = double.NaN;
    private readonly ClockWatch _clock = new();
    private readonly Stretches _shaky = new();
    private readonly Stretches _knownShaky = new();
    private readonly Stretches _offset = new();
    private readonly Stretches _knownOffset = new();
    private readonly List<KnownLeap> _knownLeaps = [];
    private int _nextLeap;
    private LeapWatch _leaps;
    private LogTime _offsetFrom;
    private LogTime? _offsetAt;
    private bool _wasOffset;
    private LeapPairs _pairs;
    private readonly ContactWatch _contact = new();
    private readonly StepPairs[] _steps;
    private readonly int[] _stepGuards;
    private readonly Stretches[] _stepped;
    private readonly Stretches[] _knownStepped;
    private readonly LogTime[] _faultUntil;
    private SunkLevel _sunk;
    private readonly GearWatch _gears = new();
    private readonly int _engineGuard;
    private readonly int _roadGuard;
    private readonly int _lateralGuard;
    private readonly int _longitudinalGuard;
    private readonly Stretches _engineOff = new();
    private readonly Stretches _roadOff = new();
    private readonly Stretches _knownEngineOff = new();
    private readonly Stretches _knownRoadOff = new();
    private LatestMedian _latest;
    private LogTime _oilFaultUntil;
    private int _pairFaults;
    private double _usualFrameS;
    private Knock _lateralKnock;
    private Knock _longitudinalKnock;
    private FaultChanges _changes;
    private double _recentRpm = double.NaN;
    private double _recentKmh = double.NaN;
    private LogTime _recentRpmAt;
    private LogTime _corneringAt;
    private LogTime _corneringSince;
    private bool _cornered;
    private LogTime _last;
    private bool _begun;
    private uint _seen;                                // roles that ever had a reading
    private uint _held;                                // roles known to be repeated on every record

    /// <param name="options">The limits.</param>
    /// <param name="crankcaseIsAbsolute">True where crankcase pressure comes from an absolute sensor, less the standard atmosphere: ambient then shows as far from zero as the day makes it.</param>
    public SensorGuard(SensorGuardOptions options, bool crankcaseIsAbsolute = false)
    {
        _options = options;
        _rules = GuardRules.For(options);
        _standingRules = GuardRules.StandingFor(options, crankcaseIsAbsolute);
        _standing = [.. _standingRules.Select(rule => new StandingWatch(rule))];
        _guards = new RoleGuard[_rules.Length];
        _traits = [.. _rules.Select(rule => Traits.Of(rule.Role))];
        StepPairs.Rule[] steps = GuardRules.StepsFor(options);
        _steps = [.. steps.Select(rule => new StepPairs(rule))];
        _stepGuards = [.. steps.Select(rule => IndexOf(rule.Role))];
        _engineGuard = IndexOf(Role.EngineSpeed);
        _roadGuard = IndexOf(Role.VehicleSpeed);
        _lateralGuard = IndexOf(Role.LateralG);
        _longitudinalGuard = IndexOf(Role.LongitudinalG);
        _stepped = [.. steps.Select(_ => new Stretches())];
        _knownStepped = [.. steps.Select(_ => new Stretches())];
        _faultUntil = new LogTime[steps.Length];
    }

    /// <summary>What the last frame raised or ended.</summary>
    public ref readonly FaultChanges Changes => ref _changes;

    /// <summary>What the run showed so far of the contacts of the oil pressure sensor.</summary>
    public ContactSigns Contact => _contact.Signs;

    /// <summary>Wild readings counted of a role.</summary>
    public long WildReadings(Role role) => IndexOf(role) is >= 0 and int index ? _guards[index].WildReadings : 0;

    /// <summary>Faults reported of a role.</summary>
    public int Faults(Role role)
    {
        int faults = IndexOf(role) is >= 0 and int index ? _guards[index].Faults : 0;
        for (int i = 0; i < _standing.Length; i++)
            if (_standingRules[i].Role == role) faults += _standing[i].Faults;
        for (int i = 0; i < _steps.Length; i++)
            if (_rules[_stepGuards[i]].Role == role) faults += _steps[i].Faults;
        if (role == Role.CrankcasePressure) faults += _sunk.Faults;
        if (role == Role.EngineSpeed) faults += _gears.Engine.Faults;
        if (role == Role.VehicleSpeed) faults += _gears.Road.Faults;
        return role == Role.OilPressure ? faults + _leaps.Faults + _pairFaults + _contact.Faults : faults;
    }

    /// <summary>
    /// Takes over what another guard learned of this log: how long values normally stay the same, and where oil pressure turned out to have shaken or leapt.
    /// </summary>
    /// <param name="other">The other guard.</param>
    /// <param name="clock">Where the time stamps ran backwards.</param>
    public void LearnFrom(SensorGuard other, ClockWatch clock)
    {
        for (int i = 0; i < _guards.Length; i++) _guards[i].LearnFrom(in other._guards[i]);
        _clock.LearnFrom(clock);
        _knownShaky.LearnFrom(other._shaky);
        _knownOffset.LearnFrom(other._offset);
        for (int i = 0; i < _stepped.Length; i++) _knownStepped[i].LearnFrom(other._stepped[i]);
        _knownEngineOff.LearnFrom(other._engineOff);
        _knownRoadOff.LearnFrom(other._roadOff);
    }

    /// <summary>Takes over where oil pressure turned out to read wrong by a constant, in order of time: masked, and reported when it is over.</summary>
    public void LearnFrom(IEnumerable<KnownLeap> leaps)
    {
        _knownLeaps.Clear();
        _knownLeaps.AddRange(leaps);
        _nextLeap = 0;
    }

    /// <summary>A time stamp ran backwards.</summary>
    public void OnStampBehind(LogTime at, double seconds, Role pace) => _clock.Add(at, seconds, pace);

    /// <summary>Judges a frame: what is not to be believed becomes absent and is marked.</summary>
    public void Apply(ref EngineFrame frame)
    {
        _changes.Clear();
        _clock.Step(frame.At, ref _changes);
        double rpm = frame.SpeedRpm, kpa = frame.PressureKpa, kmh = frame.VehicleSpeedKmh - ErrorOf(Role.VehicleSpeed);
        double lateralG = frame.LateralG - ErrorOf(Role.LateralG), longitudinalG = frame.LongitudinalG - ErrorOf(Role.LongitudinalG);
        if (_begun) WatchGap(frame.At, rpm);
        bool newKpa = frame.IsFresh(Role.OilPressure) && double.IsFinite(kpa);
        if (double.IsFinite(rpm)) Follow(frame.At, rpm, kpa);
        if (double.IsFinite(kmh)) _recentKmh = kmh;
        _lateralKnock.Step(frame.At, frame.LateralG, frame.IsFresh(Role.LateralG));
        _longitudinalKnock.Step(frame.At, frame.LongitudinalG, frame.IsFresh(Role.LongitudinalG));
        if ((Math.Abs(lateralG) >= CorneringG && !_guards[_lateralGuard].IsFaulty) || (Math.Abs(longitudinalG) >= CorneringG && !_guards[_longitudinalGuard].IsFaulty))
        {
            if (!_cornered || frame.At.SecondsSince(_corneringAt) > 1) _corneringSince = frame.At;
            _corneringAt = frame.At;
            _cornered = true;
        }
        bool running = _recentRpm > 1500 && frame.At.SecondsSince(_recentRpmAt) < 30;
        bool moving = double.IsFinite(_recentKmh) ? _recentKmh > 30 : running && _recentRpm > 2500;
        bool cornering = _cornered && frame.At.SecondsSince(_corneringAt) < 1 && frame.At.SecondsSince(_corneringSince) > CorneredForS && running;
        bool lively = running && rpm > LivelyRpm;
        bool braking = !(longitudinalG > BrakingG);
        var read = new Read(rpm, frame.LateralG, frame.LongitudinalG, frame.CrankcaseKpa, frame[Role.Vibration]);
        if (frame.Held != _held) FollowHeld(frame.Held);
        for (int i = 0; i < _rules.Length; i++)
        {
            ref readonly GuardRule rule = ref _rules[i];
            Role role = rule.Role;
            if ((_seen & (1u << (int)role)) == 0)
            {
                if (double.IsNaN(frame[role])) continue;
                _seen |= 1u << (int)role;
            }
            ref RoleGuard guard = ref _guards[i];
            Traits traits = _traits[i];
            double context = traits.Context switch
            {
                ContextOf.Engine => rpm,
                ContextOf.Pressure => kmh > 30 ? kmh : kpa,
                _ => double.IsFinite(kmh) ? kmh : rpm,
            };
            bool judged = !traits.OfEngine || _recentRpm > 400;
            bool shouldMove = traits.Moves switch { MovesWith.Engine => running, MovesWith.Car => moving, _ => cornering };
            double value = frame[role];
            bool fresh = frame.IsFresh(role);
            bool alive = rule.MayFall ? lively && !braking : lively;
            bool isRagged = (frame.Ragged & (1u << (int)role)) != 0;
            if (fresh && !isRagged && guard.TryStepPlainly(frame.At, value, in rule, context, judged, shouldMove, alive)) continue;
            guard.Step(frame.At, value, fresh, isRagged, in rule, context, judged, shouldMove, alive, longitudinalG, ShakeOf(role, frame.At), ref _changes);
            if (guard.Masked) Mask(ref frame, role);
            if (guard.Suspect) frame.Suspect |= 1u << (int)role;
        }
        WatchGears(ref frame, in read, kmh);
        WatchSteps(ref frame, in read);
        WatchLeaps(ref frame, kpa);
        if (newKpa) WatchPairs(frame.At, kpa);
        if (_nextLeap < _knownLeaps.Count) HoldKnownLeap(ref frame);
        HoldOnInShaking(ref frame, newKpa ? kpa : double.NaN);
        WatchStanding(ref frame);
        if (newKpa) _contact.Step(frame.At, kpa, rpm, _options.DeadPressureKpa, _guards[0].IsFaulty, ref _changes);
        _last = frame.At;
        _begun = true;
    }

    /// <summary>The log is over: what is still wrong ends here.</summary>
    public void Finish()
    {
        _changes.Clear();
        if (!_begun) return;
        _clock.Finish(_last, ref _changes);
        _gears.Finish(_last, ref _changes);
        for (int i = 0; i < _rules.Length; i++) _guards[i].Finish(_last, in _rules[i], ref _changes);
        _leaps.Finish(_last, ref _changes);
        _contact.Finish(_last, ref _changes);
        _sunk.Finish(_last, ref _changes);
        for (int i = 0; i < _standing.Length; i++) _standing[i].Finish(_last, ref _changes);
    }

    private static void Mask(ref EngineFrame frame, Role role)
    {
        frame[role] = double.NaN;
        frame.Masked |= 1u << (int)role;
    }

    private void FollowHeld(uint held)
    {
        for (int i = 0; i < _rules.Length; i++)
            if ((held & ~_held & (1u << (int)_rules[i].Role)) != 0) _guards[i].ForgetRepeats();
        _held = held;
    }

    private int IndexOf(Role role) => Array.FindIndex(_rules, rule => rule.Role == role);

    /// <summary>No frame at all for a while, with the engine running before and after: it was the logger that stopped.</summary>
    private void WatchGap(LogTime at, double rpm)
    {
        double silent = at.SecondsSince(_last);
        if (silent > LeastGapS && silent > GapUsuals * _usualFrameS && _recentRpm > 1500 && _last.SecondsSince(_recentRpmAt) < 1 && rpm > 1500)
        {
            var fault = new SensorFault(Role.EngineSpeed, SensorFaultKind.Gap, _last, at, at, EventEnd.Open, double.NaN, 0);
            _changes.Add(fault);
            _changes.Add(fault with { Ending = EventEnd.Recovered });
        }
        SlowMean.FollowStep(ref _usualFrameS, silent, 0.01);
    }

    private void WatchLeaps(ref EngineFrame frame, double read)
    {
        double kpa = frame.PressureKpa;
        // A leap up is doubted for its first reading, and the one back down from there too: both are what is looked for.
        if ((_guards[0].IsDoubtedHigh || (_leaps.Masked && _guards[0].IsDoubted)) && double.IsFinite(read) && !_standing[0].IsOpen)
        {
            if (frame.IsFresh(Role.OilPressure)) _leaps.Take(frame.At, read, _recentRpm > 1500 ? frame.SpeedRpm : double.NaN);
        }
        else if (!double.IsFinite(kpa) || frame.IsSuspect(Role.OilPressure) || _standing[0].IsOpen)
        {
            _leaps.Forget(frame.At, ref _changes);
        }
        else
        {
            bool goesOn = IsKnownToGoBack(frame.At);
            if (goesOn && !_leaps.Masked) _leaps.WentBack();
            else if (frame.IsFresh(Role.OilPressure)) _leaps.Step(frame.At, kpa, _recentRpm > 1500 ? frame.SpeedRpm : double.NaN, _options.LeastLeapKpa, _options.FastestFallS, goesOn, ref _changes);
        }
        if (_leaps.Suspect) frame.Suspect |= 1u << (int)Role.OilPressure;
        if (!_leaps.Masked) return;
        Mask(ref frame, Role.OilPressure);
    }

    /// <summary>True in a stretch that the look at the whole run knows to read wrong by a constant, its beginning left out, and just after it: a leap there leads back to what is right.</summary>
    private bool IsKnownToGoBack(LogTime at)
    {
        bool inside = _knownOffset.Hold(at) || (_nextLeap < _knownLeaps.Count && at >= _knownLeaps[_nextLeap].From);
        if (inside && !_wasOffset) _offsetFrom = at;
        if (inside) _offsetAt = at;
        _wasOffset = inside;
        return inside ? at.SecondsSince(_offsetFrom) > LeapS : _offsetAt is { } last && at.SecondsSince(last) <= LeapS;
    }

    /// <summary>Masks an engine speed or a road speed that reads wrong by a constant, from the moment that is known; a second look from its first reading.</summary>
    private void WatchGears(ref EngineFrame frame, in Read read, double kmh)
    {
        int before = _changes.Count;
        _gears.Forget(_guards[_engineGuard].IsFaulty, _guards[_roadGuard].IsFaulty);
        _gears.Step(frame.At, frame.IsFresh(Role.EngineSpeed) ? read.Rpm : double.NaN, frame.IsFresh(Role.VehicleSpeed) && !_guards[_roadGuard].IsFaulty ? kmh : double.NaN, ref _changes);
        for (int i = before; i < _changes.Count; i++)
        {
            SensorFault fault = _changes[i];
            if (fault.Ending == EventEnd.Open) continue;
            (fault.Role == Role.EngineSpeed ? _engineOff : _roadOff).Add(fault.Start, fault.End);
            if (fault is { Role: Role.VehicleSpeed, Ending: EventEnd.Recovered }) _guards[_roadGuard].LedBack(frame.At, in _rules[_roadGuard]);
        }
        if (_knownEngineOff.Hold(frame.At) | _gears.Engine.IsWrong) Mask(ref frame, Role.EngineSpeed);
        if (_knownRoadOff.Hold(frame.At) | _gears.Road.IsWrong) Mask(ref frame, Role.VehicleSpeed);
    }

    /// <summary>Reports a step to another level and back once it is over, unless another rule has; a second look masks it from its first reading.</summary>
    private void WatchSteps(ref EngineFrame frame, in Read read)
    {
        for (int i = 0; i < _changes.Count; i++)
        {
            SensorFault known = _changes[i];
            if (known.Kind == SensorFaultKind.Time) continue;
            for (int place = 0; place < _steps.Length; place++)
                if (_rules[_stepGuards[place]].Role == known.Role && known.End > _faultUntil[place]) _faultUntil[place] = known.End;
        }
        for (int i = 0; i < _steps.Length; i++)
        {
            Role role = _rules[_stepGuards[i]].Role;
            if (frame.IsFresh(role) && _steps[i].Step(frame.At, read[i], _recentKmh, ShakeOf(role, frame.At) == Shake.Felt, out SensorFault fault)
                && _faultUntil[i].SecondsSince(fault.Start) < 0 && !_guards[_stepGuards[i]].IsFaulty && _recentRpm >= StoppedRpm)
            {
                _stepped[i].Add(fault.Start, fault.End);
                _changes.Add(fault with { Ending = EventEnd.Open });
                _changes.Add(fault);
            }
            if (role == Role.CrankcasePressure) WatchSunk(ref frame, i, read[i]);
            if (_knownStepped[i].Hold(frame.At)) Mask(ref frame, role);
        }
    }

    /// <summary>Masks a crankcase pressure that fell within one reading, from the moment that is known to when it leaps back.</summary>
    private void WatchSunk(ref EngineFrame frame, int step, double kpa)
    {
        bool fresh = frame.IsFresh(Role.CrankcasePressure), mayBegin = fresh && !_guards[_stepGuards[step]].IsFaulty && _recentRpm >= StoppedRpm;
        double leap = fresh && (mayBegin || _sunk.IsOpen) ? _steps[step].Leapt : 0;
        if (_sunk.Step(frame.At, kpa, leap, _steps[step].LeaptAt, ref _changes)) _stepped[step].Add(_sunk.From, frame.At);
        if (!_sunk.IsOpen) return;
        _faultUntil[step] = frame.At;
        Mask(ref frame, Role.CrankcasePressure);
    }

    /// <summary>Keeps where oil pressure was not to be believed for a second look, and reports a leap that turned out to be one when it was over.</summary>
    private void WatchPairs(LogTime at, double kpa)
    {
        for (int i = 0; i < _changes.Count; i++)
        {
            SensorFault known = _changes[i];
            if (known.Role != Role.OilPressure || known.Kind == SensorFaultKind.Time) continue;
            if (known.End > _oilFaultUntil) _oilFaultUntil = known.End;
            if (known.Ending == EventEnd.Open) continue;
            if (known.Kind == SensorFaultKind.Slew) _shaky.Add(known.Start.AddSeconds(_guards[0].HasFlipped ? 0 : -ShakyBeforeS), known.End.AddSeconds(ShakyAfterS));
        }
        if (!_pairs.Step(at, kpa, _options.LeastLeapKpa, _options.FastestFallS, out SensorFault fault) || _recentRpm < StoppedRpm) return;
        _offset.Add(fault.Start, fault.End);
        _leaps.TakeBack(at, fault.End, ref _changes);
        if (_oilFaultUntil >= fault.Start || _guards[0].IsFaulty || _leaps.Masked || _standing[0].IsOpen) return;
        _pairFaults++;
        _changes.Add(fault with { Ending = EventEnd.Open });
        _changes.Add(fault);
    }

    /// <summary>
    /// While a connection is loose, what its readings have in the middle stands for the pressure: a burst of nonsense is no loss, and a real loss is still seen.
    /// A leap that a look at the whole run proved is masked from its first reading.
    /// </summary>
    private void HoldOnInShaking(ref EngineFrame frame, double read)
    {
        double kpa = frame.PressureKpa;
        bool shaky = _knownShaky.Hold(frame.At) | _guards[0].IsLoose, offset = _knownOffset.Hold(frame.At);
        // What was masked for being too low is left out; what was for being too high counts, or what is left would lie too low.
        if (kpa == read || read > _latest.At(frame.At)) _latest.Add(frame.At, read);
        if (!double.IsFinite(kpa)) return;
        if (offset)
        {
            Mask(ref frame, Role.OilPressure);
        }
        else if (shaky)
        {
            frame[Role.OilPressure] = _latest.At(frame.At);
            frame.Suspect &= ~(1u << (int)Role.OilPressure);
        }
    }

    /// <summary>Masks a stretch in which pressure is known to have read wrong by a constant; reports it when it is over, unless another rule has.</summary>
    private void HoldKnownLeap(ref EngineFrame frame)
    {
        KnownLeap leap = _knownLeaps[_nextLeap];
        if (frame.At < leap.From) return;
        if (frame.At < leap.To)
        {
            Mask(ref frame, Role.OilPressure);
            return;
        }
        _nextLeap++;
        if (_oilFaultUntil >= leap.From || _guards[0].IsFaulty || _leaps.Masked) return;
        _pairFaults++;
        var fault = new SensorFault(Role.OilPressure, SensorFaultKind.Offset, leap.From, frame.At, leap.To, EventEnd.Open, leap.Kpa, 1);
        _changes.Add(fault);
        _changes.Add(fault with { Ending = EventEnd.Recovered });
    }

    /// <summary>Looks for constant errors while engine or car stand, and takes the known ones off.</summary>
    private void WatchStanding(ref EngineFrame frame)
    {
        double rpm = frame.SpeedRpm, kmh = frame.VehicleSpeedKmh, lateral = frame.LateralG, longitudinal = frame.LongitudinalG;
        double roadKmh = kmh - ErrorOf(Role.VehicleSpeed);
        if (double.IsNaN(_firstKmh)) _firstKmh = kmh;
        _everRan |= rpm >= RanRpm || Math.Abs(kmh - _firstKmh) > MovedKmh;
        bool stopped = rpm < StoppedRpm && !frame.IsSuspect(Role.EngineSpeed), sureOfIt = stopped && !(roadKmh > DrivenKmh);
        bool atRest = stopped && !HasMoved(kmh, lateral, longitudinal);
        bool standing = atRest || roadKmh < StandingKmh;
        double settleS = _everRan ? SettleS : 0;
        for (int i = 0; i < _standing.Length; i++)
        {
            Role role = _standingRules[i].Role;
            bool mayMove = role is Role.LateralG or Role.LongitudinalG;
            bool stands = mayMove ? standing : role == Role.VehicleSpeed ? atRest : stopped;
            if (stands && !frame.IsFresh(role) && double.IsFinite(frame[role])) continue;
            bool sure = mayMove ? stopped || rpm < IdleRpm : sureOfIt;
            _standing[i].Step(frame.At, frame[role], stands, !sure ? SettleS : role == Role.OilPressure && _everRan ? OilSettleS : settleS, _options.OffsetAfterS, sure, ref _changes);
        }
        foreach (ref readonly StandingWatch watch in _standing.AsSpan())
            if (watch.Error != 0) frame[watch.Role] -= watch.Error;
    }

    /// <summary>True when something that had stood since the engine did moved.</summary>
    private bool HasMoved(double kmh, double lateral, double longitudinal)
    {
        bool moved = Math.Abs(kmh - _restKmh) > RolledKmh || Math.Abs(lateral - _restLateralG) > SwayedG || Math.Abs(longitudinal - _restLongitudinalG) > SwayedG;
        if (moved || double.IsNaN(_restKmh)) _restKmh = kmh;
        if (moved || double.IsNaN(_restLateralG)) _restLateralG = lateral;
        if (moved || double.IsNaN(_restLongitudinalG)) _restLongitudinalG = longitudinal;
        return moved;
    }

    /// <summary>What a reading of a role is known to be too high by.</summary>
    private double ErrorOf(Role role)
    {
        foreach (ref readonly StandingWatch watch in _standing.AsSpan())
            if (watch.Role == role) return watch.Error;
        return 0;
    }

    private Shake ShakeOf(Role role, LogTime at) => role switch
    {
        Role.LateralG => _longitudinalKnock.At(at),
        Role.LongitudinalG => _lateralKnock.At(at),
        _ => Shake.None,
    };

    /// <summary>Engine speed as it was before a dropout: an engine at speed does not stop because its sensor does, unless it stays so.</summary>
    private void Follow(LogTime at, double rpm, double kpa)
    {
        if (rpm < 400 && _recentRpm > 1500)
        {
            // What oil pressure still shows, a standing engine does not pump.
            if (kpa >= PumpedKpa && at.SecondsSince(_recentRpmAt) < LongestGapS) _recentRpmAt = at;
            if (at.SecondsSince(_recentRpmAt) < HeldS && !(kpa < 30)) return;
        }
        _recentRpm = rpm;
        _recentRpmAt = at;
    }

    /// <summary>What was read of the roles that <see cref="GuardRules.StepsFor"/> names, in its order.</summary>
    private readonly record struct Read(double Rpm, double LateralG, double LongitudinalG, double CrankcaseKpa, double Vibration)
    {
        public double this[int step] => step switch { 0 => Rpm, 1 => LateralG, 2 => LongitudinalG, 3 => CrankcaseKpa, _ => Vibration };
    }

    private enum ContextOf : byte
    {
        Engine,
        Pressure,
        Car,
    }

    private enum MovesWith : byte
    {
        Engine,
        Car,
        Cornering,
    }

    /// <summary>What a role's value goes with.</summary>
    private readonly record struct Traits(ContextOf Context, MovesWith Moves, bool OfEngine)
    {
        public static Traits Of(Role role) => new(
            role switch { Role.EngineSpeed => ContextOf.Pressure, Role.LateralG or Role.LongitudinalG => ContextOf.Car, _ => ContextOf.Engine },
            role switch { Role.LateralG or Role.LongitudinalG => MovesWith.Car, Role.VehicleSpeed or Role.Throttle => MovesWith.Cornering, _ => MovesWith.Engine },
            role is not (Role.LateralG or Role.LongitudinalG or Role.VehicleSpeed or Role.Latitude or Role.Longitude));
    }

    /// <summary>Says whether an acceleration leapt up and down of late, as a kerb makes it.</summary>
    private struct Knock
    {
        private double _previous;
        private double _beforePrevious;
        private LogTime _leaptAt;
        private LogTime _knownAt;
        private int _known;

        public void Step(LogTime at, double g, bool fresh)
        {
            if (!fresh || !double.IsFinite(g)) return;
            if (_known >= 2 && Math.Abs(g - (2 * _previous) + _beforePrevious) > ShakeG) _leaptAt = at;
            if (_known == 0) _leaptAt = at.AddSeconds(-2 * ShakeS);
            _beforePrevious = _previous;
            _previous = g;
            _known = Math.Min(_known + 1, 2);
            _knownAt = at;
        }

        public readonly Shake At(LogTime at) =>
            _known == 0 || at.SecondsSince(_knownAt) > 1 ? Shake.Unknown : at.SecondsSince(_leaptAt) <= ShakeS ? Shake.Felt : Shake.None;
    }
}
