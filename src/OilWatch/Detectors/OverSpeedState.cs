using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The machine that calls too high an engine speed: no Rx, no clock, no allocation.</summary>
/// <remarks>
/// | state | sees                                                       | does                                        | next  |
/// |-------|------------------------------------------------------------|---------------------------------------------|-------|
/// | quiet | above limit and margin for the hold, two readings          | **Raised**, start where the limit was passed | over  |
/// | over  | farther above                                              | **Escalated**                               | over  |
/// | over  | below the limit for the hold                               | **Ended: recovered**, dated at the crossing | quiet |
/// | over  | short of data for longer than the hold and a second        | **Ended: data-lost**                        | quiet |
/// | over  | the log ends                                               | **Ended: log-ended**                        | -     |
/// | any   | engine speed absent or doubtful                            | nothing                                     | same  |
/// </remarks>
internal sealed class OverSpeedState(OverSpeedOptions options)
{
    private const double LongestStepS = 0.5;
    private const double ShutPercent = 20;
    private bool _begun;
    private LogTime _last;
    private double _lastRpm;
    private LogTime? _passed;
    private LogTime? _beyond;
    private int _readings;
    private LogTime? _below;
    private bool _open;
    private OverSpeed _over;
    private Severity _announced;

    /// <summary>Looks at one frame; true when it brought a change.</summary>
    public bool Step(in EngineFrame frame, out OverSpeedChange change)
    {
        change = default;
        if (options.Rpm <= 0 || (_begun && frame.At <= _last)) return false;
        double rpm = frame.SpeedRpm;
        if (!double.IsFinite(rpm) || frame.IsSuspect(Role.EngineSpeed))
        {
            if (!_open || frame.At.SecondsSince(_last) <= options.ClearHoldS + 1) return false;
            return Ends(EventEnd.DataLost, _below ?? _last, frame.At, out change);
        }
        double step = _begun ? Math.Min(frame.At.SecondsSince(_last), LongestStepS) : 0;
        bool above = rpm > options.Rpm;
        LogTime crossing = Crossing(frame.At, rpm, step);
        _last = frame.At;
        _lastRpm = rpm;
        _begun = true;
        if (!above) return Below(crossing, frame.At, out change);
        _passed ??= crossing;
        _below = null;
        if (rpm > options.Rpm + options.MarginRpm)
        {
            _beyond ??= frame.At.AddSeconds(-step);
            if (frame.IsFresh(Role.EngineSpeed)) _readings++;
        }
        else if (!_open)
        {
            _beyond = null;
            _readings = 0;
        }
        if (!_open)
        {
            if (_beyond is not { } beyond || _readings < 2 || frame.At.SecondsSince(beyond) < options.HoldS - 1e-6) return false;
            _open = true;
            _over = new OverSpeed { Start = _passed.Value, Raised = frame.At, End = frame.At, Ending = EventEnd.Open, SeverityAt = frame.At, LimitRpm = options.Rpm };
            Count(in frame, frame.At.SecondsSince(_passed.Value));
            _announced = _over.Severity;
            change = new OverSpeedChange(AlertPhase.Raised, frame.At, _over);
            return true;
        }
        Count(in frame, step);
        if (_over.Severity <= _announced) return false;
        _announced = _over.Severity;
        change = new OverSpeedChange(AlertPhase.Escalated, frame.At, _over);
        return true;
    }

    /// <summary>The log is over; true when that ends an open over-speed.</summary>
    public bool Finish(out OverSpeedChange change)
    {
        change = default;
        return _open && Ends(_below is null ? EventEnd.LogEnded : EventEnd.Recovered, _below ?? _last, _last, out change);
    }

    private bool Below(LogTime crossing, LogTime at, out OverSpeedChange change)
    {
        change = default;
        _passed = null;
        _beyond = null;
        _readings = 0;
        if (!_open) return false;
        _below ??= crossing;
        return at.SecondsSince(_below.Value) >= options.ClearHoldS && Ends(EventEnd.Recovered, _below.Value, at, out change);
    }

    private LogTime Crossing(LogTime at, double rpm, double step)
    {
        double span = rpm - _lastRpm;
        if (step <= 0 || span == 0) return at;
        double share = (rpm - options.Rpm) / span;
        return share is >= 0 and <= 1 ? at.AddSeconds(-share * step) : at;
    }

    private void Count(in EngineFrame frame, double step)
    {
        double rpm = frame.SpeedRpm;
        _over = _over with { End = frame.At, DurationS = _over.DurationS + step, Revolutions = _over.Revolutions + (rpm / 60 * step) };
        if (rpm <= _over.PeakRpm) return;
        _over = _over with { PeakRpm = rpm, Driven = frame.ThrottlePercent < ShutPercent };
        double share = (rpm / options.Rpm) - 1;
        Severity severity = share >= options.WarningShare ? Severity.Warning : share >= options.CautionShare ? Severity.Caution : Severity.Advisory;
        if (severity > _over.Severity) _over = _over with { Severity = severity, SeverityAt = frame.At };
    }

    private bool Ends(EventEnd ending, LogTime end, LogTime known, out OverSpeedChange change)
    {
        _open = false;
        _passed = _beyond = _below = null;
        _readings = 0;
        _over = _over with { End = end > _over.Start ? end : _over.Start, Ending = ending };
        change = new OverSpeedChange(AlertPhase.Ended, known, _over);
        return true;
    }
}
