using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Detectors;
using OilWatch.Frames;
using Channel = OilWatch.Channels.Role;

namespace OilWatch.Vibration;

/// <summary>The machine that calls a rise of vibration above its healthy level: no Rx, no clock; no allocation once it has learned.</summary>
/// <remarks>
/// | state     | sees                                              | does                            | next      |
/// |-----------|---------------------------------------------------|---------------------------------|-----------|
/// | learning  | 45 s of running                                   | finds the channel's delay, learns what it saw | quiet |
/// | quiet     | a rise beyond the reference                       | sums it over time, by engine speed and in all | gathering |
/// | gathering | every sum back at 0                               | forgets                         | quiet     |
/// | gathering | a sum at the decision limit, above for long enough | **Raised**, start dated back    | risen     |
/// | risen     | more severe                                       | **Escalated**                   | risen     |
/// | risen     | healthy again for the hold, at the speeds concerned | **Ended: recovered**, dated at its beginning | quiet |
/// | risen     | the engine below the speed to judge for the longest gap | **Ended: engine-slowed**   | quiet     |
/// | risen     | no vibration reading for the longest gap          | **Ended: data-lost**            | quiet     |
/// | risen     | the log ends                                      | **Ended: log-ended**            | -         |
/// | any       | data absent, speed unknown to the model           | nothing: neither evidence for nor against | same |
/// A sum is a one-sided cumulative sum of the logarithm of level over healthy. There is one for each 200 rpm, since a resonance that grows shows only
/// there, and one over all speeds. A sum stands still while the engine is at other speeds.
/// </remarks>
internal sealed class VibrationGrowthState
{
    private const double DelayLearnedS = 45;
    private const int MostLearned = 2048;
    private const double BetweenReadingsS = 0.04;      // faster channels are averaged to this
    private const double LongestStepS = 0.3;           // what one reading may stand for
    private const double ZoneRpm = 200;
    private const int Zones = 81;
    private const int Kept = 64;
    private const double FastestRpmPerS = 5000;        // gear changes and blips: level and speed are not of one instant
    private const double OverrunRpmPerS = -150;
    private const double ReferenceShare = 0.6;         // of ln(rise): a ratio of 1.28; half-way between healthy and risen, and a little more
    private const double CalledShare = 0.75;           // of ln(rise): what the mean of the last moments must show, its own noise allowed for
    private const double LeastEvidenceS = 0.12;        // natural log times seconds: 0.8 s at a ratio of 1.5
    private const double LikeS = 0.2;                  // readings closer than this are alike
    private const double GrowthPerS = 0.01;            // how fast the growth of all speeds may be followed, natural log a second
    private const double RatioS = 2;                   // time constant of the ratio that is shown

    private readonly VibrationOptions _options;
    private readonly string? _band;
    private readonly LevelModel _model;
    private readonly bool _hasBaseline;
    private readonly RiseEvidence[] _zones = new RiseEvidence[Zones];
    private readonly DecisionLimits _decisions;
    private readonly LevelReading[] _recent = new LevelReading[Kept];
    private readonly double _rise;
    private RiseEvidence _all;
    private LevelReading[]? _learned;                  // null once the delay is known
    private int _learnedCount;
    private int _recentCount;
    private double _delayS;

    private bool _begun;
    private LogTime _last;
    private LogTime _lastReading;
    private LogTime _lastFast;
    private LogTime _lastJudged;
    private double _lastLevel = double.NaN;
    private double _sumLevel;
    private double _sumSpeed;
    private double _sumThrottle;
    private int _count;
    private LogTime _firstOfMean;
    private double _runningS;
    private double _growth;
    private bool _open;
    private VibrationRise _event;
    private Severity _announced;
    private double _shown;
    private double _backSum;
    private LogTime _backSince;

    /// <param name="options">Thresholds.</param>
    /// <param name="baseline">Healthy levels learned before, or empty to learn them from this run.</param>
    /// <param name="band">The watched band's name, or null.</param>
    /// <param name="aligned">True when level and engine speed are known to be of one instant.</param>
    public VibrationGrowthState(
        VibrationOptions options, ImmutableArray<HealthyLevel> baseline = default, string? band = null, bool aligned = false)
    {
        _options = options;
        _band = band;
        _model = new LevelModel(baseline);
        _hasBaseline = !baseline.IsDefaultOrEmpty;
        _learned = aligned ? null : new LevelReading[MostLearned];
        _rise = Math.Log(options.RiseRatio);
        _decisions = new DecisionLimits(options.FalseCallHours * 3600 / LikeS);
    }

    /// <summary>By how much the level has grown since it was learned, over all speeds: a ratio, 1 for not at all.</summary>
    public double GrowthRatio => Math.Exp(_growth);

    /// <summary>Seconds of running that were judged.</summary>
    public double JudgedS { get; private set; }

    /// <summary>How much later the vibration channel comes than engine speed, s.</summary>
    public double DelayS => _delayS;

    /// <summary>The healthy levels as learned.</summary>
    public ImmutableArray<HealthyLevel> Healthy() => _model.Levels();

    /// <summary>Looks at one frame; true when it brought a change.</summary>
    public bool Step(in EngineFrame frame, out VibrationChange change)
    {
        double level = frame.VibrationLevel;
        // A value held from an earlier frame is no reading of its own.
        if (!frame.IsFresh(Channel.Vibration) && level == _lastLevel)
        {
            change = default;
            return false;
        }
        _lastLevel = level;
        return Step(frame.At, frame.At, level, frame.SpeedRpm, frame.ThrottlePercent, frame.LapNumber, out change);
    }

    /// <summary>Looks at one level; true when it brought a change.</summary>
    /// <param name="at">When.</param>
    /// <param name="known">When it was known: later than <paramref name="at"/> where a level is of a stretch of time.</param>
    /// <param name="levelG">Vibration, g; NaN, 0 or less is absent.</param>
    /// <param name="speedRpm">Engine speed, or NaN.</param>
    /// <param name="throttlePercent">Throttle opening, or NaN.</param>
    /// <param name="lap">Lap number.</param>
    /// <param name="change">What changed.</param>
    public bool Step(LogTime at, LogTime known, double levelG, double speedRpm, double throttlePercent, int lap, out VibrationChange change)
    {
        change = default;
        if (_begun && at <= _last) return false;
        if (!_begun)
        {
            _begun = true;
            _lastReading = _lastFast = _lastJudged = _firstOfMean = at;
        }
        _last = at;
        if (!(levelG > 0 && double.IsFinite(levelG) && double.IsFinite(speedRpm))) return Lost(at, known, out change);
        _lastReading = at;
        if (speedRpm < _options.AboveRpm)
        {
            _count = 0;
            return Slowed(at, known, out change);
        }
        _lastFast = at;
        if (_count == 0)
        {
            _firstOfMean = at;
            _sumLevel = _sumSpeed = _sumThrottle = 0;
        }
        _sumLevel += levelG;
        _sumSpeed += speedRpm;
        _sumThrottle += throttlePercent;
        _count++;
        LogTime middle = _firstOfMean.AddSeconds(0.5 * at.SecondsSince(_firstOfMean));
        double since = _recentCount == 0 ? double.PositiveInfinity : middle.SecondsSince(Recent(0).At);
        if (since < BetweenReadingsS) return false;
        var reading = new LevelReading(middle, Math.Log(_sumLevel / _count), _sumSpeed / _count, _sumThrottle / _count);
        _count = 0;
        return Take(in reading, known, lap, out change);
    }

    /// <summary>A narrow band of the same waveform has risen; true when that raised.</summary>
    /// <param name="narrow">The band.</param>
    /// <param name="known">When it was known.</param>
    /// <param name="change">What changed.</param>
    public bool Narrow(in NarrowRise narrow, LogTime known, out VibrationChange change)
    {
        change = default;
        if (_recentCount == 0) return false;
        if (_open)
        {
            if (!double.IsNaN(_event.NarrowHz)) _event = _event with { NarrowRatio = Math.Max(_event.NarrowRatio, narrow.Ratio) };
            return false;
        }
        ref readonly LevelReading reading = ref Recent(0);
        (double speed, double slope) = (reading.SpeedRpm, 0);
        LevelModel.Healthy healthy = _model.At(speed, UnderPower(reading.ThrottlePercent, slope));
        if (!healthy.IsKnown) healthy = new LevelModel.Healthy(reading.Log, 0, 0);
        double zone = Math.Floor(narrow.SpeedRpm / ZoneRpm) * ZoneRpm;
        Open(in reading, speed, healthy, narrow.Since, Math.Max(0, reading.Log - healthy.Log), zone, zone + ZoneRpm, known, Frames.EngineFrame.NoLap);
        _event = _event with { NarrowHz = narrow.Hz, NarrowRatio = narrow.Ratio };
        change = new VibrationChange(AlertPhase.Raised, known, _event);
        return true;
    }

    /// <summary>True while a narrow band still shows its rise: then the level as a whole is not healthy, whatever it shows.</summary>
    public bool NarrowStands { get; set; }

    /// <summary>The log is over; true when that ends an open rise.</summary>
    public bool Finish(out VibrationChange change)
    {
        change = default;
        return _open && Ends(EventEnd.LogEnded, _lastJudged, _last, out change);
    }

    private bool Lost(LogTime at, LogTime known, out VibrationChange change)
    {
        change = default;
        _count = 0;
        return _open && at.SecondsSince(_lastReading) > _options.LongestGapS && Ends(EventEnd.DataLost, _lastJudged, known, out change);
    }

    private bool Slowed(LogTime at, LogTime known, out VibrationChange change)
    {
        change = default;
        return _open && at.SecondsSince(_lastFast) > _options.LongestGapS && Ends(EventEnd.EngineSlowed, _lastJudged, known, out change);
    }

    private bool Take(in LevelReading reading, LogTime now, int lap, out VibrationChange change)
    {
        change = default;
        // An event that ended by a gap is told first; what this reading says of the next one can wait for the next reading.
        bool lost = _open && reading.At.SecondsSince(Recent(0).At) > _options.LongestGapS;
        if (lost) Ends(EventEnd.DataLost, _lastJudged, now, out change);
        if (_recentCount == Kept)
        {
            Array.Copy(_recent, Kept / 2, _recent, 0, Kept / 2);
            _recentCount = Kept / 2;
        }
        _recent[_recentCount++] = reading;
        if (lost) return true;
        if (_learned is not null)
        {
            LearnDelay(in reading);
            return false;
        }
        int index = _recentCount - 1;
        if (_delayS < 0)
        {
            // Engine speed is the later channel: the reading whose speed is known by now.
            LogTime known = reading.At.AddSeconds(_delayS);
            while (index >= 0 && _recent[index].At > known) index--;
            if (index < 0) return false;
        }
        return Judge(_recent.AsSpan(0, _recentCount), index, now, lap, out change);
    }

    private ref readonly LevelReading Recent(int back) => ref _recent[_recentCount - 1 - back];

    private void LearnDelay(in LevelReading reading)
    {
        _learned![_learnedCount++] = reading;
        double step = _learnedCount < 2 ? 0 : reading.At.SecondsSince(_learned[_learnedCount - 2].At);
        _runningS += Math.Min(step, LongestStepS);
        if (_runningS < DelayLearnedS && _learnedCount < MostLearned) return;
        ReadOnlySpan<LevelReading> learned = _learned.AsSpan(0, _learnedCount);
        _delayS = SpeedDelay.Find(learned);
        for (int i = 0; i < learned.Length; i++)
        {
            (double speed, double slope) = SpeedDelay.SpeedAt(learned, i, _delayS);
            if (!Usable(speed, slope)) continue;
            bool underPower = UnderPower(learned[i].ThrottlePercent, slope);
            _model.Learn(learned[i].At, speed, underPower, learned[i].Log, early: true);
        }
        _learned = null;
        _lastJudged = reading.At;
    }

    private static bool Usable(double speed, double slope) => double.IsFinite(speed) && Math.Abs(slope) <= FastestRpmPerS;

    private static bool UnderPower(double throttle, double slope) => double.IsNaN(throttle) ? slope >= OverrunRpmPerS : throttle >= 50;

    private bool Judge(ReadOnlySpan<LevelReading> readings, int index, LogTime now, int lap, out VibrationChange change)
    {
        change = default;
        ref readonly LevelReading reading = ref readings[index];
        double step = Math.Clamp(reading.At.SecondsSince(_lastJudged), 0, LongestStepS);
        if (reading.At <= _lastJudged) return false;
        (double speed, double slope) = SpeedDelay.SpeedAt(readings, index, _delayS);
        if (!Usable(speed, slope))
        {
            _lastJudged = reading.At;
            return false;
        }
        bool underPower = UnderPower(reading.ThrottlePercent, slope);
        _runningS += step;
        LevelModel.Healthy healthy = _model.At(speed, underPower);
        bool early = _runningS <= _options.LearnS && !_hasBaseline;
        _model.Learn(reading.At, speed, underPower, reading.Log - _growth, early);
        _lastJudged = reading.At;
        if (!healthy.IsKnown) return false;
        JudgedS += step;
        double rise = reading.Log - healthy.Log;
        _growth += Math.Sign(rise - _growth) * GrowthPerS * step;
        // What the model may be wrong by does not count as a rise; one wild reading must not count for more than twice the rise.
        double counted = Math.Clamp(rise - (0.5 * healthy.Error), -1, 2 * _rise);
        double reference = Math.Max(ReferenceShare * _rise, healthy.Spread);
        double decision = Decision(reference, healthy.Spread);
        int zone = Math.Clamp((int)(speed / ZoneRpm), 0, Zones - 1);
        ref RiseEvidence here = ref _zones[zone];
        here.Add(reading.At, counted, reference, step);
        _all.Add(reading.At, counted, reference, step);
        bool risenHere = here.Sum >= decision && here.Mean >= CalledShare * _rise
            && here.AboveS >= _options.LeastAboveS * (here.Passes switch { >= 3 => 0.2, 2 => 0.5, _ => 1 });
        bool risenAll = _all.Sum >= decision && _all.Mean >= CalledShare * _rise && _all.AboveS >= _options.LeastAboveS;
        if (_open) return Follow(in reading, speed, rise, healthy, step, risenHere, risenAll, now, out change);
        return (risenHere || risenAll) && Raise(in reading, speed, healthy, zone, risenAll, now, lap, out change);
    }

    private double Decision(double reference, double spread) => Math.Max(LeastEvidenceS, _decisions.At(reference, spread) * spread * LikeS);

    private bool Raise(
        in LevelReading reading, double speed, LevelModel.Healthy healthy, int zone, bool all, LogTime now, int lap, out VibrationChange change)
    {
        // The mean excess over the reference is what the evidence says of the ratio so far.
        ref readonly RiseEvidence evidence = ref (all ? ref _all : ref _zones[zone]);
        double shown = (ReferenceShare * _rise) + (evidence.Sum / evidence.AboveS);
        double from = all ? double.NaN : zone * ZoneRpm;
        Open(in reading, speed, healthy, evidence.Since, shown, from, from + ZoneRpm, now, lap);
        change = new VibrationChange(AlertPhase.Raised, now, _event);
        return true;
    }

    private void Open(
        in LevelReading reading, double speed, LevelModel.Healthy healthy, LogTime since, double shown, double fromRpm, double toRpm, LogTime now, int lap)
    {
        _open = true;
        _backSum = 0;
        _shown = shown;
        _event = new VibrationRise
        {
            Band = _band,
            Start = since,
            Raised = now,
            End = reading.At,
            Ending = EventEnd.Open,
            Severity = Severity.Advisory,
            SeverityAt = now,
            FromRpm = fromRpm,
            ToRpm = toRpm,
            NarrowHz = double.NaN,
            NarrowRatio = double.NaN,
            Ratio = Math.Exp(shown),
            WorstRatio = Math.Exp(shown),
            Level = Math.Exp(reading.Log),
            Healthy = Math.Exp(healthy.Log),
            Unit = _options.LevelUnit,
            RpmAtWorst = speed,
            Lap = lap,
        };
        Grade(now);
        _announced = _event.Severity;
    }

    private bool Follow(
        in LevelReading reading, double speed, double rise, LevelModel.Healthy healthy, double step, bool risenHere, bool risenAll, LogTime now,
        out VibrationChange change)
    {
        change = default;
        if (risenAll) _event = _event with { FromRpm = double.NaN, ToRpm = double.NaN };
        bool concerns = double.IsNaN(_event.FromRpm) || (speed >= _event.FromRpm && speed < _event.ToRpm);
        if (!concerns && risenHere)
        {
            double from = Math.Floor(speed / ZoneRpm) * ZoneRpm;
            _event = _event with { FromRpm = Math.Min(_event.FromRpm, from), ToRpm = Math.Max(_event.ToRpm, from + ZoneRpm) };
            concerns = true;
        }
        if (!concerns) return false;
        _shown += (rise - _shown) * (1 - Math.Exp(-step / RatioS));
        double ratio = Math.Exp(_shown);
        _event = _event with { Ratio = ratio, End = reading.At };
        if (ratio > _event.WorstRatio)
        {
            _event = _event with
            {
                WorstRatio = ratio,
                Level = Math.Exp(reading.Log),
                Healthy = Math.Exp(healthy.Log),
                RpmAtWorst = speed,
            };
            Grade(now);
        }
        double back = (0.5 * _rise) - rise;            // healthy again is half-way back, on the same scale
        if (NarrowStands) back = Math.Min(back, 0);
        if (_backSum == 0) _backSince = reading.At;
        _backSum = Math.Max(0, _backSum + (Math.Min(back, 0.5 * _rise) * step));
        if (_backSum >= 0.5 * _rise * _options.ClearHoldS) return Ends(EventEnd.Recovered, _backSince, now, out change);
        if (_event.Severity <= _announced) return false;
        _announced = _event.Severity;
        change = new VibrationChange(AlertPhase.Escalated, now, _event);
        return true;
    }

    private void Grade(LogTime now)
    {
        Severity severity = _event.WorstRatio >= _options.WarningRatio ? Severity.Warning
            : _event.WorstRatio >= _options.CautionRatio ? Severity.Caution
            : Severity.Advisory;
        if (severity > _event.Severity) _event = _event with { Severity = severity, SeverityAt = now };
    }

    private bool Ends(EventEnd ending, LogTime end, LogTime now, out VibrationChange change)
    {
        _open = false;
        Array.Clear(_zones);
        _all = default;
        _event = _event with { End = end > _event.Start ? end : _event.Start, Ending = ending };
        change = new VibrationChange(AlertPhase.Ended, now, _event);
        return true;
    }
}
