using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Crankcase;

/// <summary>Engine speed and throttle as the crankcase still shows them: its volume takes about half a second to follow.</summary>
internal struct CrankcaseLag
{
    private const double LagS = 0.6;                     // common practice, no source
    private const double ForgetAfterS = 2;
    private const double RunningRpm = 500;
    private const double SettledS = 3;                   // after a start
    private const double ThrottleHeldS = 2;
    private LogTime _last;
    private LogTime _throttleAt;
    private LogTime _startedAt;
    private bool _begun;
    private bool _runs;
    private StepDecay _decay;

    /// <summary>Engine speed as the crankcase still shows it, rpm; NaN while it is not known.</summary>
    public double SpeedRpm { get; private set; }

    /// <summary>Throttle as it still shows it, percent; NaN while it is not known.</summary>
    public double Throttle { get; private set; }

    /// <summary>True when the engine has run for long enough that the crankcase shows it.</summary>
    public readonly bool IsRunning => _runs && _last.SecondsSince(_startedAt) >= SettledS;

    /// <summary>True when a frame may be learned from.</summary>
    public static bool TeachesFrom(in EngineFrame frame) =>
        frame.IsFresh(Role.CrankcasePressure) && double.IsFinite(frame.CrankcaseKpa) && frame.SpeedRpm > 1500
        && !frame.IsSuspect(Role.CrankcasePressure) && !frame.IsSuspect(Role.EngineSpeed);

    /// <summary>Takes a frame.</summary>
    public void Step(in EngineFrame frame)
    {
        double rpm = frame.SpeedRpm, throttle = frame.ThrottlePercent;
        double step = _begun ? frame.At.SecondsSince(_last) : double.PositiveInfinity;
        double keep = _decay.Over(step, LagS);
        if (double.IsFinite(throttle))
        {
            Throttle = step > ForgetAfterS || !double.IsFinite(Throttle) ? throttle : throttle + ((Throttle - throttle) * keep);
            _throttleAt = frame.At;
        }
        else if (!_begun || frame.At.SecondsSince(_throttleAt) > ThrottleHeldS)
        {
            Throttle = double.NaN;
        }
        if (!double.IsFinite(rpm))
        {
            if (step > ForgetAfterS) SpeedRpm = double.NaN;
            if (!_begun) SpeedRpm = double.NaN;
            return;
        }
        SpeedRpm = step > ForgetAfterS || !double.IsFinite(SpeedRpm) ? rpm : rpm + ((SpeedRpm - rpm) * keep);
        if (rpm < RunningRpm)
        {
            _runs = false;
        }
        else if (!_runs)
        {
            _runs = true;
            _startedAt = _begun ? frame.At : frame.At.AddSeconds(-SettledS);
        }
        _last = frame.At;
        _begun = true;
    }

    /// <summary>The frame as the fit remembers it.</summary>
    public readonly CrankcaseSample Sample(in EngineFrame frame) =>
        new((float)frame.At.Seconds, (float)SpeedRpm, (float)Throttle, (float)frame.CrankcaseKpa);
}
