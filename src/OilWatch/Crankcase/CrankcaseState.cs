using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Crankcase;

/// <summary>The machine that calls a crankcase that is not as it should be: no Rx, no clock, no allocation.</summary>
/// <remarks>
/// | state | sees                                                              | does                                        | next  |
/// |-------|-------------------------------------------------------------------|---------------------------------------------|-------|
/// | quiet | vacuum below the loss ratio of healthy, held                        | **Raised**: vacuum lost, start dated back   | open  |
/// | quiet | pressure under load above ambient and above what is usual, held     | **Raised**: blow-by                         | open  |
/// | quiet | vacuum too deep, held                                               | **Raised**: too deep                        | open  |
/// | open  | vacuum all but gone, pressure on top of a loss, deeper still        | **Escalated**                               | open  |
/// | open  | as it should be, held                                               | **Ended: recovered**, dated at the crossing | quiet |
/// | open  | the engine stops and stays so                                       | **Ended: engine-slowed**                    | quiet |
/// | open  | short of data for longer than the longest gap                       | **Ended: data-lost**                        | quiet |
/// | open  | the log ends                                                        | **Ended: log-ended**                        | -     |
/// | any   | engine speed too low to judge, data absent or doubtful              | nothing: neither evidence for nor against   | same  |
/// Vacuum and healthy vacuum are smoothed alike, by a second, before they are compared: lag and noise of the two then do not matter.
/// A hold runs backwards while its condition is not met, so that a moment off the throttle does not begin it anew.
/// </remarks>
internal sealed class CrankcaseState(CrankcaseOptions options)
{
    private const double SmoothS = 1;
    private const double LongestStepS = 0.5;
    private const double LongestGapS = 30;
    private const double StoppedRpm = 400;
    private const double StoppedForS = 10;
    private const double LoadRpmWithoutThrottle = 3500;
    private const double DeepMarginKpa = 3;
    private const double PressureMarginKpa = 0.5;

    private bool _begun;
    private LogTime _last;
    private LogTime _lastJudged;
    private LogTime? _stoppedSince;
    private double _kpa = double.NaN;
    private double _expected = double.NaN;
    private double _throttle = double.NaN;
    private Held _loss;
    private Held _gone;
    private Held _pressure;
    private Held _deep;
    private Held _deeper;
    private Held _sound;
    private LogTime? _wasBelow;
    private bool _open;
    private CrankcaseEvent _event;
    private Severity _announced;

    /// <summary>Looks at one frame; true when it brought a change.</summary>
    public bool Step(in EngineFrame frame, out CrankcaseChange change)
    {
        change = default;
        if (_begun && frame.At <= _last) return false;
        double step = _begun ? Math.Min(frame.At.SecondsSince(_last), LongestStepS) : 0;
        _last = frame.At;
        if (!_begun) _lastJudged = frame.At;
        _begun = true;
        double rpm = frame.SpeedRpm;
        if (double.IsFinite(frame.ThrottlePercent)) _throttle = frame.ThrottlePercent;
        if (_open && double.IsFinite(rpm)) _event = _event with { Revolutions = _event.Revolutions + (rpm / 60 * step) };
        if (Stopped(in frame)) return _open && Ends(EventEnd.EngineSlowed, _lastJudged, frame.At, out change);
        bool usable = double.IsFinite(frame.CrankcaseKpa) && double.IsFinite(rpm)
            && !frame.IsSuspect(Role.CrankcasePressure) && !frame.IsSuspect(Role.EngineSpeed) && rpm > StoppedRpm;
        if (!usable)
        {
            if (frame.At.SecondsSince(_lastJudged) <= LongestGapS) return false;
            Restart();
            return _open && Ends(EventEnd.DataLost, _lastJudged, frame.At, out change);
        }
        _lastJudged = frame.At;
        Smooth(in frame, step);
        return Judge(in frame, step, out change);
    }

    /// <summary>The log is over; true when that ends an open event.</summary>
    public bool Finish(out CrankcaseChange change)
    {
        change = default;
        return _open && Ends(EventEnd.LogEnded, _lastJudged, _last, out change);
    }

    private bool Stopped(in EngineFrame frame)
    {
        if (!(frame.SpeedRpm < StoppedRpm))
        {
            if (double.IsFinite(frame.SpeedRpm)) _stoppedSince = null;
            return false;
        }
        _stoppedSince ??= frame.At;
        if (frame.At.SecondsSince(_stoppedSince.Value) < StoppedForS) return false;
        Restart();
        return true;
    }

    private void Restart()
    {
        _kpa = _expected = double.NaN;
        _loss = _gone = _pressure = _deep = _deeper = _sound = default;
        _wasBelow = null;
    }

    private void Smooth(in EngineFrame frame, double step)
    {
        double keep = Math.Exp(-step / SmoothS);
        double expected = frame.ExpectedCrankcaseKpa;
        _kpa = double.IsFinite(_kpa) ? frame.CrankcaseKpa + ((_kpa - frame.CrankcaseKpa) * keep) : frame.CrankcaseKpa;
        _expected = double.IsFinite(_expected) && double.IsFinite(expected) ? expected + ((_expected - expected) * keep) : expected;
    }

    private bool Judge(in EngineFrame frame, double step, out CrankcaseChange change)
    {
        change = default;
        double rpm = frame.SpeedRpm;
        bool vacuum = _expected < -options.LeastVacuumKpa && rpm >= options.JudgeAboveRpm;
        double ratio = vacuum ? _kpa / _expected : double.NaN;
        bool loaded = double.IsFinite(_throttle) ? _throttle >= options.LoadThrottlePercent : rpm >= LoadRpmWithoutThrottle;
        double over = _kpa - Math.Max(0, double.IsFinite(_expected) ? _expected : options.HighestKpa - options.BlowByKpa);
        bool pressed = over > options.BlowByKpa || _kpa > options.HighestKpa;

        if (vacuum)
        {
            if (!(ratio < options.ClearRatio)) _wasBelow = null;
            else _wasBelow ??= frame.At;
            _loss.Step(ratio < options.LossRatio, frame.At, step);
            _gone.Step(ratio < options.GoneRatio, frame.At, step);
        }
        if (loaded) _pressure.Step(pressed, frame.At, step);
        _deep.Step(_kpa < -options.TooDeepKpa, frame.At, step);
        _deeper.Step(_kpa < -options.MuchTooDeepKpa, frame.At, step);

        if (!_open)
        {
            if (_loss.ForS >= options.HoldS) Raise(CrankcaseCause.VacuumLost, _wasBelow ?? _loss.Since, frame.At);
            else if (_pressure.ForS >= options.HoldS) Raise(CrankcaseCause.BlowBy, _pressure.Since, frame.At);
            else if (_deep.ForS >= options.TooDeepHoldS) Raise(CrankcaseCause.TooDeep, _deep.Since, frame.At);
            else return false;
            Measure(in frame, ratio, 0);
            Grade(frame.At);
            _announced = _event.Severity;
            change = new CrankcaseChange(AlertPhase.Raised, frame.At, _event);
            return true;
        }
        (bool? sound, double hold) = _event.Cause switch
        {
            CrankcaseCause.VacuumLost => (vacuum ? ratio >= options.ClearRatio : null, options.HoldS),
            CrankcaseCause.BlowBy => (loaded ? over < options.BlowByKpa - PressureMarginKpa && _kpa < options.HighestKpa - PressureMarginKpa : (bool?)null, options.HoldS),
            _ => (_kpa > -options.TooDeepKpa + DeepMarginKpa, options.TooDeepHoldS),
        };
        if (sound is { } known)
        {
            _sound.Step(known, frame.At, step);
            if (!known) Measure(in frame, ratio, step);
            if (_sound.ForS >= hold) return Ends(EventEnd.Recovered, _sound.Since, frame.At, out change);
        }
        Grade(frame.At);
        if (_event.Severity <= _announced) return false;
        _announced = _event.Severity;
        change = new CrankcaseChange(AlertPhase.Escalated, frame.At, _event);
        return true;
    }

    private void Raise(CrankcaseCause cause, LogTime start, LogTime at)
    {
        _open = true;
        _sound = default;
        _event = new CrankcaseEvent
        {
            Cause = cause,
            Start = start,
            Raised = at,
            End = at,
            Ending = EventEnd.Open,
            Severity = cause == CrankcaseCause.TooDeep ? Severity.Advisory : Severity.Caution,
            SeverityAt = at,
            WorstKpa = double.NaN,
            ExpectedKpa = double.NaN,
            MinRatio = double.NaN,
            RpmAtWorst = double.NaN,
            OilTemperatureC = double.NaN,
            DurationS = at.SecondsSince(start),
        };
    }

    private void Measure(in EngineFrame frame, double ratio, double step)
    {
        _event = _event with { End = frame.At, DurationS = _event.DurationS + step };
        bool worse = _event.Cause switch
        {
            CrankcaseCause.VacuumLost => double.IsFinite(ratio) && !(ratio >= _event.MinRatio),
            CrankcaseCause.BlowBy => !(_kpa <= _event.WorstKpa),
            _ => !(_kpa >= _event.WorstKpa),
        };
        if (!worse) return;
        _event = _event with
        {
            WorstKpa = _kpa,
            ExpectedKpa = _expected,
            MinRatio = _event.Cause == CrankcaseCause.VacuumLost ? ratio : double.NaN,
            RpmAtWorst = frame.SpeedRpm,
            OilTemperatureC = frame.OilTemperatureC,
        };
    }

    private void Grade(LogTime at)
    {
        switch (_event.Cause)
        {
            case CrankcaseCause.VacuumLost:
                if (_pressure.ForS >= options.HoldS) _event = _event with { UnderPressure = true };
                if (_gone.ForS >= options.HoldS || _event.UnderPressure) Reach(Severity.Warning, at);
                break;
            case CrankcaseCause.BlowBy:
                if (_kpa > options.HighestKpa && _pressure.ForS >= options.HoldS) Reach(Severity.Warning, at);
                break;
            default:
                if (_deeper.ForS >= options.TooDeepHoldS) Reach(Severity.Caution, at);
                break;
        }
    }

    private void Reach(Severity severity, LogTime at)
    {
        if (severity > _event.Severity) _event = _event with { Severity = severity, SeverityAt = at };
    }

    private bool Ends(EventEnd ending, LogTime end, LogTime known, out CrankcaseChange change)
    {
        _open = false;
        _event = _event with { End = end > _event.Start ? end : _event.Start, Ending = ending };
        change = new CrankcaseChange(AlertPhase.Ended, known, _event);
        _loss = _gone = _pressure = _deep = _deeper = _sound = default;
        _wasBelow = null;
        return true;
    }

    /// <summary>How long a condition has held; it runs back while the condition is not met.</summary>
    private struct Held
    {
        /// <summary>Seconds.</summary>
        public double ForS { get; private set; }

        /// <summary>When it began.</summary>
        public LogTime Since { get; private set; }

        public void Step(bool met, LogTime at, double step)
        {
            if (met)
            {
                if (ForS <= 0) Since = at;
                ForS += step;
            }
            else
            {
                ForS = Math.Max(0, ForS - step);
            }
        }
    }
}
