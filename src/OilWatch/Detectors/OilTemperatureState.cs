using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The machine that calls oil too hot, or too cold for the engine speed: no Rx, no clock, no allocation.</summary>
/// <remarks>
/// | state | sees                                                     | does                                        | next  |
/// |-------|----------------------------------------------------------|---------------------------------------------|-------|
/// | quiet | hotter than the caution limit for the hold               | **Raised**: too hot                         | hot   |
/// | quiet | high engine speed with cold oil for the hold             | **Raised**: too cold for the engine speed   | cold  |
/// | hot   | hotter than the warning limit; cold: very cold           | **Escalated**                               | same  |
/// | hot   | cooler than the caution limit by the clearance           | **Ended: recovered**                        | quiet |
/// | cold  | oil warm, or engine speed low for the clear hold         | **Ended: recovered**                        | quiet |
/// | open  | short of data for longer than the longest gap            | **Ended: data-lost**                        | quiet |
/// | open  | the log ends                                             | **Ended: log-ended**                        | -     |
/// | any   | temperature absent or doubtful                           | nothing                                     | same  |
/// </remarks>
internal sealed class OilTemperatureState(OilTemperatureOptions options)
{
    private const double LongestStepS = 1;
    private const double LongestGapS = 30;
    private bool _begun;
    private LogTime _last;
    private LogTime _lastKnown;
    private LogTime? _hotSince;
    private LogTime? _coldSince;
    private double _coldRpm;
    private LogTime? _slowSince;
    private bool _open;
    private OilTemperatureEvent _event;
    private Severity _announced;

    /// <summary>Looks at one frame; true when it brought a change.</summary>
    public bool Step(in EngineFrame frame, out OilTemperatureChange change)
    {
        change = default;
        if (_begun && frame.At <= _last) return false;
        double step = _begun ? Math.Min(frame.At.SecondsSince(_last), LongestStepS) : 0;
        _last = frame.At;
        if (!_begun) _lastKnown = frame.At;
        _begun = true;
        if (!double.IsFinite(frame.OilTemperatureC) || frame.IsSuspect(Role.OilTemperature))
        {
            _hotSince = _coldSince = null;
            return _open && frame.At.SecondsSince(_lastKnown) > LongestGapS && Ends(EventEnd.DataLost, _lastKnown, frame.At, out change);
        }
        _lastKnown = frame.At;
        bool changed = _open ? Follow(in frame, step, out change) : Look(in frame, out change);
        return changed;
    }

    /// <summary>The log is over; true when that ends an open event.</summary>
    public bool Finish(out OilTemperatureChange change)
    {
        change = default;
        return _open && Ends(_slowSince is null ? EventEnd.LogEnded : EventEnd.Recovered, _slowSince ?? _last, _last, out change);
    }

    private bool Look(in EngineFrame frame, out OilTemperatureChange change)
    {
        change = default;
        if (frame.OilTemperatureC > options.CautionC) _hotSince ??= frame.At;
        else _hotSince = null;
        if (IsColdAndFast(in frame))
        {
            _coldRpm = _coldSince is null ? frame.SpeedRpm : Math.Max(_coldRpm, frame.SpeedRpm);
            _coldSince ??= frame.At;
        }
        else if (double.IsFinite(frame.SpeedRpm))
        {
            _coldSince = null;
        }
        if (_hotSince is { } hot && frame.At.SecondsSince(hot) >= options.HoldS) Raise(in frame, hot, isCold: false);
        else if (_coldSince is { } cold && frame.At.SecondsSince(cold) >= options.ColdHoldS) Raise(in frame, cold, isCold: true);
        else return false;
        _announced = _event.Severity;
        change = new OilTemperatureChange(AlertPhase.Raised, frame.At, _event);
        return true;
    }

    private bool IsColdAndFast(in EngineFrame frame) =>
        frame.OilTemperatureC < options.ColdC && frame.SpeedRpm > options.ColdRpm && !frame.IsSuspect(Role.EngineSpeed);

    private void Raise(in EngineFrame frame, LogTime since, bool isCold)
    {
        _open = true;
        _slowSince = null;
        double seconds = frame.At.SecondsSince(since);
        _event = new OilTemperatureEvent
        {
            IsCold = isCold,
            Start = since,
            Raised = frame.At,
            End = frame.At,
            Ending = EventEnd.Open,
            Severity = isCold ? Severity.Advisory : Severity.Caution,
            SeverityAt = frame.At,
            LimitC = isCold ? options.ColdC : options.CautionC,
            WorstC = frame.OilTemperatureC,
            WorstRpm = isCold ? _coldRpm : frame.SpeedRpm,
            DurationS = seconds,
            Revolutions = double.IsFinite(frame.SpeedRpm) ? frame.SpeedRpm / 60 * seconds : 0,
        };
        Grade(frame.At);
    }

    private bool Follow(in EngineFrame frame, double step, out OilTemperatureChange change)
    {
        change = default;
        double oil = frame.OilTemperatureC, rpm = frame.SpeedRpm;
        if (_event.IsCold)
        {
            if (oil >= options.ColdC) return Ends(EventEnd.Recovered, _slowSince ?? frame.At, frame.At, out change);
            if (IsColdAndFast(in frame))
            {
                _slowSince = null;
                Count(in frame, step);
                if (oil < _event.WorstC) _event = _event with { WorstC = oil };
                if (rpm > _event.WorstRpm) _event = _event with { WorstRpm = rpm };
            }
            else if (double.IsFinite(rpm))
            {
                _slowSince ??= frame.At;
                if (frame.At.SecondsSince(_slowSince.Value) >= options.ColdClearHoldS) return Ends(EventEnd.Recovered, _slowSince.Value, frame.At, out change);
            }
        }
        else
        {
            if (oil < options.CautionC - options.ClearC) return Ends(EventEnd.Recovered, frame.At, frame.At, out change);
            Count(in frame, step);
            if (oil > _event.WorstC) _event = _event with { WorstC = oil, WorstRpm = rpm };
        }
        Grade(frame.At);
        if (_event.Severity <= _announced) return false;
        _announced = _event.Severity;
        change = new OilTemperatureChange(AlertPhase.Escalated, frame.At, _event);
        return true;
    }

    private void Count(in EngineFrame frame, double step) => _event = _event with
    {
        End = frame.At,
        DurationS = _event.DurationS + step,
        Revolutions = _event.Revolutions + (double.IsFinite(frame.SpeedRpm) ? frame.SpeedRpm / 60 * step : 0),
    };

    private void Grade(LogTime at)
    {
        Severity severity = _event.IsCold
            ? _event.WorstC < options.VeryColdC ? Severity.Caution : Severity.Advisory
            : _event.WorstC > options.WarningC ? Severity.Warning : Severity.Caution;
        if (severity > _event.Severity) _event = _event with { Severity = severity, SeverityAt = at };
    }

    private bool Ends(EventEnd ending, LogTime end, LogTime known, out OilTemperatureChange change)
    {
        _open = false;
        _hotSince = _coldSince = _slowSince = null;
        _event = _event with { End = end > _event.Start ? end : _event.Start, Ending = ending };
        change = new OilTemperatureChange(AlertPhase.Ended, known, _event);
        return true;
    }
}
