using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The machine that calls a fall of oil pressure: no Rx, no clock, no allocation.</summary>
/// <remarks>
/// | state     | sees                                             | does                            | next      |
/// |-----------|--------------------------------------------------|---------------------------------|-----------|
/// | quiet     | a deficit beyond the reference                   | sums it over time               | gathering |
/// | gathering | the sum back at 0                                | forgets                         | quiet     |
/// | gathering | the sum at the decision limit, two readings below | **Raised**, start dated back    | dropped   |
/// | quiet, gathering | danger pressure for the danger hold, however little below what is expected | **Raised** as a warning | dropped |
/// | dropped   | more severe                                      | **Escalated**                   | dropped   |
/// | dropped   | recovered and out of danger and held, the load gone or long ago    | **Ended: recovered**, dated at the crossing | quiet |
/// | dropped   | engine speed too low to judge                    | **Ended: engine-slowed**        | quiet     |
/// | dropped   | short of data for longer than the longest gap    | **Ended: data-lost**            | quiet     |
/// | dropped   | the log ends                                     | **Ended: log-ended**            | -         |
/// | any       | data absent, or the sensor doubtful              | nothing: neither evidence for nor against | same |
/// The sum is a one-sided cumulative sum of the deficit as a share of expected pressure. Its reference is the advisory
/// limit, or 1.25 spreads where those are wider; its decision limit is the larger of <see cref="PressureDropOptions.LeastEvidenceS"/> and what keeps
/// false calls by noise alone to the stated rate (<see cref="SequentialTest"/>, counted at twenty readings a second).
/// </remarks>
internal sealed class PressureDropState
{
    private const int Most = 1024;
    private const double ReferenceSpreads = 1.25;
    private const double ReadingS = 0.05;              // the rate at which a spread is worth one reading
    private const double LongestStepS = 1;             // a hole in the data is no evidence
    private const double DeepestShare = 0.65;            // one wild reading must not count for more
    private const double LargestNoiseShare = 0.05;
    private const double LookBackS = 3;
    private const double HealthyShare = 0.03;
    private const double OutOfDangerShare = 1.05;
    private const double SlowerHoldS = 10;

    private readonly PressureDropOptions _options;
    private readonly LoadHistory _loads;
    private readonly DecisionLimits _decisions;
    private readonly Past[] _past = new Past[Most];
    private int _next;
    private int _count;

    private bool _begun;
    private LogTime _last;
    private LogTime _lastJudged;
    private double _lastDeficit;
    private double _lastSure;
    private double _sum;
    private int _below;
    private bool _open;
    private PressureDrop _drop;
    private Severity _announced;
    private LogTime? _recoveredAt;
    private double _recoveredS;
    private double _pendingDuration;
    private double _pendingDeficit;
    private double _pendingRevolutions;
    private double _cautionRevolutions;
    private LogTime? _cautionSince;
    private LogTime? _warningSince;
    private LogTime? _dangerSince;
    private LogTime? _slowSince;
    private LogTime? _dangerFrom;
    private double _dangerRpm;

    public PressureDropState(PressureDropOptions options)
    {
        _options = options;
        _loads = new LoadHistory(options.LoadG);
        _decisions = new DecisionLimits(options.FalseCallHours * 3600 / ReadingS);
    }

    /// <summary>Looks at one frame; true when it brought a change.</summary>
    public bool Step(in EngineFrame frame, out PressureDropChange change)
    {
        change = default;
        if (_begun && frame.At <= _last) return false;
        _begun = true;
        _last = frame.At;
        _loads.Step(in frame);
        if (!frame.CanJudgePressure) return NotJudged(in frame, out change);
        _slowSince = null;
        double step = frame.At.SecondsSince(_lastJudged);
        bool gap = _count == 0 || step > _options.LongestGapS;
        if (gap && _open && Ends(EventEnd.DataLost, _lastJudged, frame.At, out change))
        {
            Restart();
            return true;
        }
        if (gap) Restart();
        double deficit = (frame.ExpectedKpa - frame.PressureKpa) / frame.ExpectedKpa;
        double sure = (frame.SurelyExpectedKpa - frame.PressureKpa) / frame.ExpectedKpa;
        double mean = gap ? sure : 0.5 * (sure + _lastSure);
        Remember(in frame, deficit);
        if (gap) step = 0;
        bool doubtful = frame.IsSuspect(Role.OilPressure) || frame.IsSuspect(Role.EngineSpeed);
        bool changed = _open
            ? Follow(in frame, deficit, step, out change)
            : Gather(in frame, sure, mean, step, doubtful, out change);
        _lastJudged = frame.At;
        _lastDeficit = deficit;
        _lastSure = sure;
        return changed;
    }

    /// <summary>The log is over; true when that ends an open drop.</summary>
    public bool Finish(out PressureDropChange change)
    {
        change = default;
        if (!_open) return false;
        return _recoveredAt is { } back
            ? Ends(EventEnd.Recovered, back, _last, out change)
            : Ends(EventEnd.LogEnded, _lastJudged, _last, out change);
    }

    private bool NotJudged(in EngineFrame frame, out PressureDropChange change)
    {
        change = default;
        bool slow = frame.SpeedRpm < 1500;
        if (!_open)
        {
            if (slow) Restart();                        // what was gathered on the way down to idle says nothing of the next pull
            return false;
        }
        _slowSince = slow ? _slowSince ?? frame.At : null;
        if (frame.At.SecondsSince(_lastJudged) <= _options.LongestGapS) return false;
        bool ended = Ends(slow ? EventEnd.EngineSlowed : EventEnd.DataLost, _recoveredAt ?? _lastJudged, frame.At, out change);
        Restart();
        return ended;
    }

    private void Restart()
    {
        _dangerFrom = null;
        _sum = 0;
        _below = 0;
        _count = 0;
        _next = 0;
    }

    private bool Gather(in EngineFrame frame, double deficit, double mean, double step, bool doubtful, out PressureDropChange change)
    {
        change = default;
        double spreadShare = frame.SpreadKpa / frame.ExpectedKpa;
        double reference = Math.Max(1 - _options.AdvisoryRatio, ReferenceSpreads * spreadShare);
        // A reading that is held until the next one comes is still one reading.
        if (frame.Fresh == 0 || frame.IsFresh(Role.OilPressure) || _below == 0) _below = deficit > reference ? _below + 1 : 0;
        if (doubtful)
        {
            _dangerFrom = null;
            return false;
        }
        if (!IsDanger(frame.SpeedRpm, frame.PressureKpa, _dangerFrom is null ? 1 : OutOfDangerShare)) _dangerFrom = null;
        else _dangerFrom ??= frame.At;
        _sum = Math.Max(0, _sum + ((Math.Min(mean, DeepestShare) - reference) * Math.Min(step, LongestStepS)));
        if (_below >= 2 && _sum >= Limit(reference, spreadShare)) Raise(in frame, null);
        else if (_dangerFrom is { } from && frame.At.SecondsSince(from) >= _options.DangerHoldS) Raise(in frame, from);
        else return false;
        change = new PressureDropChange(AlertPhase.Raised, frame.At, _drop);
        _announced = _drop.Severity;
        return true;
    }

    /// <summary>True for less pressure than bearings need at that speed.</summary>
    private bool IsDanger(double rpm, double kpa, double share) => rpm > _options.DangerAboveRpm && kpa < share * _options.DangerKpaPer1000Rpm * rpm / 1000;

    private double Limit(double reference, double spreadShare) =>
        Math.Max(_options.LeastEvidenceS, _decisions.At(reference, spreadShare) * spreadShare * ReadingS);

    /// <summary>Begins a drop.</summary>
    /// <param name="frame">The frame that proved it.</param>
    /// <param name="danger">Since when pressure was in danger, where that alone called it.</param>
    private void Raise(in EngineFrame frame, LogTime? danger)
    {
        int from;
        LogTime start;
        if (danger is { } since)
        {
            start = since;
            from = 0;
            while (from + 1 < _count && Back(from + 1).At >= since) from++;
        }
        else
        {
            start = DateStart(frame.At, out from);
        }
        LoadBefore load = _loads.Before(start, _options.LoadReturnS);
        _open = true;
        _recoveredAt = null;
        _recoveredS = _pendingDuration = _pendingDeficit = _pendingRevolutions = _cautionRevolutions = 0;
        _cautionSince = _warningSince = _dangerSince = null;
        _dangerRpm = double.PositiveInfinity;
        _drop = new PressureDrop
        {
            Start = start,
            Raised = frame.At,
            End = frame.At,
            Ending = EventEnd.Open,
            Severity = Severity.Advisory,
            SeverityAt = frame.At,
            Direction = load.Direction,
            LoadSince = load.Direction == LoadDirection.None ? start : load.Since,
            LoadBeforeS = load.Direction == LoadDirection.None ? double.NaN : load.HeldS,
            OtherDirection = load.Other,
            OtherLoadS = load.OtherHeldS,
            PeakLateralG = double.NaN,
            MinKpa = double.PositiveInfinity,
            MinRatio = double.PositiveInfinity,
            OilTemperatureC = double.NaN,
            DisbelievedKpa = double.NaN,
            DangerKpa = danger is null ? double.NaN : _options.DangerKpaPer1000Rpm * frame.SpeedRpm / 1000,
        };
        LogTime before = start;
        for (int i = from; i >= 0; i--)
        {
            ref readonly Past past = ref Back(i);
            Count(in past, Math.Max(0, past.At.SecondsSince(before)));
            if (past.At > before) before = past.At;
        }
        _sum = 0;
        _below = 0;
    }

    /// <summary>Dates the start back to where pressure left what is healthy.</summary>
    /// <remarks>
    /// First back to where the fall crossed the advisory limit; from there back to the last reading within one spread of healthy, but not
    /// farther than the fall's own slope reaches: a model that is a few percent off must not drag the start back to the corner before.
    /// </remarks>
    /// <param name="now">The instant of the call.</param>
    /// <param name="from">How many frames back the first one inside the drop is.</param>
    private LogTime DateStart(LogTime now, out int from)
    {
        double limit = 1 - _options.AdvisoryRatio;
        int i = 0;
        while (i + 1 < _count && Back(i + 1).Deficit > limit && now.SecondsSince(Back(i + 1).At) < LookBackS) i++;
        from = i;
        if (i + 1 >= _count) return Back(i).At;
        LogTime crossing = Between(in Back(i + 1), in Back(i), limit);
        // The slope of the fall: from the crossing to the deepest reading so far.
        double deepest = 0;
        LogTime deepestAt = crossing;
        for (int j = i; j >= 0; j--)
        {
            ref readonly Past past = ref Back(j);
            if (past.Deficit <= deepest) continue;
            deepest = past.Deficit;
            deepestAt = past.At;
        }
        double slope = (deepest - limit) / Math.Max(deepestAt.SecondsSince(crossing), 0.02);
        LogTime reach = crossing.AddSeconds(-2 * (limit - HealthyShare) / Math.Max(slope, 0.05));
        for (i++; i < _count; i++)
        {
            ref readonly Past past = ref Back(i);
            if (past.At <= reach) return reach;
            if (past.Deficit <= Math.Clamp(past.SpreadShare, HealthyShare, 0.08)) return Later(Between(in past, in Back(i - 1), HealthyShare), reach);
            from = i;
        }
        return Back(from).At;
    }

    private static LogTime Between(in Past before, in Past after, double level)
    {
        double share = (level - before.Deficit) / (after.Deficit - before.Deficit);
        return before.At.AddSeconds(after.At.SecondsSince(before.At) * Math.Clamp(share, 0, 0.95));
    }

    private static LogTime Later(LogTime one, LogTime other) => one > other ? one : other;

    private bool Follow(in EngineFrame frame, double deficit, double step, out PressureDropChange change)
    {
        change = default;
        bool back = deficit <= 1 - _options.AdvisoryRatio && !IsDanger(frame.SpeedRpm, frame.PressureKpa, OutOfDangerShare);
        if (back)
        {
            _recoveredAt ??= Crossing(frame.At, step, deficit, 1 - _options.AdvisoryRatio);
            _recoveredS = frame.At.SecondsSince(_recoveredAt.Value);
            GradeReturn(step);
            _cautionSince = _warningSince = _dangerSince = null;
            if (IsOver(frame.SpeedRpm)) return Ends(EventEnd.Recovered, _recoveredAt.Value, frame.At, out change);
            if (_drop.Severity <= _announced) return false;
            _announced = _drop.Severity;
            change = new PressureDropChange(AlertPhase.Escalated, frame.At, _drop);
            return true;
        }
        if (_recoveredAt is { } recovered)
        {
            // It fell again. A long time back without load would have ended it; this is the same event.
            if (frame.At.SecondsSince(recovered) > 2 * step) _drop = _drop with { Returns = _drop.Returns + 1 };
            else CountGap(frame.At.SecondsSince(recovered), in frame);
            _recoveredAt = null;
        }
        ref readonly Past now = ref Back(0);
        Count(in now, step);
        JudgeLoad(frame.At);
        if (_drop.Severity <= _announced) return false;
        _announced = _drop.Severity;
        change = new PressureDropChange(AlertPhase.Escalated, frame.At, _drop);
        return true;
    }

    /// <summary>Pressure is back: how long it was below each limit is known to the instant at which the line between the last two readings crossed it.</summary>
    private void GradeReturn(double step)
    {
        ref readonly Past now = ref Back(0);
        if (Holds(ref _cautionSince, false, false, in now, step, 1 - _options.CautionRatio, _options.CautionHoldS)) Reach(Severity.Caution, now.At);
        if (Holds(ref _warningSince, false, false, in now, step, 1 - _options.WarningRatio, _options.WarningHoldS)) Reach(Severity.Warning, now.At);
    }

    private void CountGap(double seconds, in EngineFrame frame)
    {
        _pendingDuration += seconds;
        _pendingRevolutions += seconds * frame.SpeedRpm / 60;
    }

    /// <summary>A drop that goes on long after the load has gone was not the load's doing.</summary>
    private void JudgeLoad(LogTime at)
    {
        if (_drop.Direction == LoadDirection.None) return;
        if (at.SecondsSince(_loads.LoadedUntil) > _options.OutlastsLoadS)
            _drop = _drop with { Direction = LoadDirection.None, LoadBeforeS = double.NaN };
    }

    private bool IsOver(double rpm)
    {
        if (_recoveredS < _options.ClearHoldS) return false;
        // Slower than it was in danger, an engine shows nothing of whether it still would be.
        if (_drop.DangerKpa > 0 && rpm < _dangerRpm && _recoveredS < SlowerHoldS) return false;
        return !_loads.ActsNow(_drop.Direction) || _recoveredS >= _options.SameLoadHoldS;
    }

    private LogTime Crossing(LogTime at, double step, double deficit, double level)
    {
        double span = _lastDeficit - deficit;
        if (!(span > 0) || step <= 0) return at;
        return at.AddSeconds(-step * Math.Clamp((level - deficit) / span, 0, 1));
    }

    /// <summary>Adds a frame of the drop to its measurements.</summary>
    private void Count(in Past past, double step)
    {
        double deficitKpa = Math.Max(0, past.ExpectedKpa - past.PressureKpa);
        double ratio = 1 - past.Deficit;
        PressureDrop drop = _drop with
        {
            End = past.At,
            DurationS = _drop.DurationS + step + _pendingDuration,
            DeficitKpaS = _drop.DeficitKpaS + (deficitKpa * step) + _pendingDeficit,
            Revolutions = _drop.Revolutions + (past.SpeedRpm / 60 * step) + _pendingRevolutions,
        };
        _pendingDuration = _pendingDeficit = _pendingRevolutions = 0;
        if (past.PressureKpa < drop.MinKpa) drop = drop with { MinKpa = past.PressureKpa };
        if (ratio < drop.MinRatio)
        {
            drop = drop with
            {
                MinRatio = ratio,
                ExpectedKpa = past.ExpectedKpa,
                RpmAtMin = past.SpeedRpm,
                OilTemperatureC = past.OilTemperatureC,
                DisbelievedKpa = past.DisbelievedKpa,
                DangerKpa = drop.DangerKpa > 0 ? _options.DangerKpaPer1000Rpm * past.SpeedRpm / 1000 : double.NaN,
            };
        }
        _drop = drop;
        Grade(in past, ratio, step);
    }

    private void Grade(in Past past, double ratio, double step)
    {
        bool fast = past.SpeedRpm > _options.CautionAboveRpm;
        bool caution = fast && ratio <= _options.CautionRatio;
        if (caution) _cautionRevolutions += past.SpeedRpm / 60 * step;
        bool danger = IsDanger(past.SpeedRpm, past.PressureKpa, 1);
        if (danger) _dangerRpm = Math.Min(_dangerRpm, past.SpeedRpm);
        // A reading that noise lifts over the limit does not break the hold.
        double noise = Math.Min(past.SpreadShare, LargestNoiseShare);
        bool stays = fast && ratio <= _options.CautionRatio + noise;
        bool staysDeep = fast && ratio <= _options.WarningRatio + noise;
        if (Holds(ref _cautionSince, caution, stays, in past, step, 1 - _options.CautionRatio, _options.CautionHoldS)) Reach(Severity.Caution, past.At);
        if (Holds(ref _warningSince, fast && ratio <= _options.WarningRatio, staysDeep, in past, step, 1 - _options.WarningRatio, _options.WarningHoldS)
            || Holds(ref _dangerSince, danger, danger, in past, 0, 0, _options.CautionHoldS)
            || _cautionRevolutions >= _options.WarningRevolutions)
        {
            Reach(Severity.Warning, past.At);
        }
    }

    /// <summary>True once a condition has held; its beginning is where the line between two readings crossed the level.</summary>
    private static bool Holds(ref LogTime? since, bool begins, bool stays, in Past past, double step, double level, double holdS)
    {
        if (!begins && !(since is not null && stays))
        {
            // It ended between two readings, where the line between them crossed the level again.
            double rise = past.DeficitBefore - past.Deficit;
            bool held = since is { } begun && step > 0 && past.DeficitBefore >= level && rise > 0
                && past.At.AddSeconds(-step * Math.Clamp((level - past.Deficit) / rise, 0, 1)).SecondsSince(begun) >= holdS - 1e-6;
            since = null;
            return held;
        }
        if (since is null)
        {
            double before = past.DeficitBefore;
            double span = past.Deficit - before;
            double share = step > 0 && span > 0 ? Math.Clamp((past.Deficit - level) / span, 0, 1) : 0;
            since = past.At.AddSeconds(-step * share);
        }
        return begins && past.At.SecondsSince(since.Value) >= holdS - 1e-6;
    }

    private void Reach(Severity severity, LogTime at)
    {
        if (severity <= _drop.Severity) return;
        _drop = _drop with { Severity = severity, SeverityAt = at > _drop.Raised ? at : _drop.Raised };
    }

    private bool Ends(EventEnd ending, LogTime end, LogTime known, out PressureDropChange change)
    {
        _open = false;
        _recoveredAt = null;
        double peak = _loads.PeakLateralSince(_drop.LoadSince < _drop.Start ? _drop.LoadSince : _drop.Start);
        double tail = Math.Max(0, end.SecondsSince(_drop.End));
        _drop = _drop with
        {
            DurationS = _drop.DurationS + (ending == EventEnd.Recovered ? tail : 0),
            End = end > _drop.Start ? end : _drop.Start,
            Ending = ending,
            PeakLateralG = peak,
        };
        change = new PressureDropChange(AlertPhase.Ended, known, _drop);
        return true;
    }

    private void Remember(in EngineFrame frame, double deficit)
    {
        _past[_next] = new Past(
            frame.At, deficit, _count == 0 ? deficit : _lastDeficit, frame.SpreadKpa / frame.ExpectedKpa, frame.PressureKpa, frame.ExpectedKpa,
            frame.SpeedRpm, frame.OilTemperatureC, frame.DisbelievedKpa);
        _next = (_next + 1) % Most;
        _count = Math.Min(_count + 1, Most);
    }

    private ref readonly Past Back(int frames) => ref _past[(_next - 1 - frames + (2 * Most)) % Most];

    private readonly record struct Past(
        LogTime At, double Deficit, double DeficitBefore, double SpreadShare, double PressureKpa, double ExpectedKpa,
        double SpeedRpm, double OilTemperatureC, double DisbelievedKpa);
}
