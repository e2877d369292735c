using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>How long the engine ran and how often it turned.</summary>
/// <remarks>
/// Engine speed holds for half a second where the data have a hole; beyond that nothing is counted. The engine runs above 300 rpm, below
/// the idle and above the cranking speed of any car engine.
/// </remarks>
public struct EngineHours
{
    /// <summary>Longest time that engine speed is held over a hole in the data, s.</summary>
    public const double HoldS = 0.5;

    /// <summary>Above this the engine runs, rpm.</summary>
    public const double RunningRpm = 300;

    private double _rpm = double.NaN;
    private LogTime _rpmAt, _last;
    private bool _any;

    /// <summary>A count that begins.</summary>
    public EngineHours()
    {
    }

    /// <summary>Seconds with the engine running.</summary>
    public double RunningS { get; private set; }

    /// <summary>Crank revolutions turned.</summary>
    public double Revolutions { get; private set; }

    /// <summary>True when engine speed was known at all.</summary>
    public bool Known { get; private set; }

    /// <summary>Hours with the engine running; null when engine speed was never known.</summary>
    public readonly double? Hours => Known ? RunningS / 3600 : null;

    /// <summary>Takes a frame; one that is not later than the last is left out.</summary>
    public void Step(in EngineFrame frame) => Step(frame, out _);

    /// <summary>Takes a frame and says what the time since the one before added, in revolutions.</summary>
    internal void Step(in EngineFrame frame, out double revolutions)
    {
        revolutions = 0;
        if (_any && frame.At <= _last) return;
        double rpm = frame.SpeedRpm;
        bool known = rpm is >= 0 and < 100_000;
        if (!double.IsNaN(_rpm))
        {
            // What is still to be counted of the hold of the last reading.
            double counted = Math.Max(0, _last.SecondsSince(_rpmAt));
            double since = frame.At.SecondsSince(_rpmAt);
            if (known && since <= HoldS)
            {
                // The part of the hold that was counted flat stands; the rest goes along the line between the readings.
                double step = since - counted;
                double from = _rpm + ((rpm - _rpm) * (since > 0 ? counted / since : 1));
                Count((from + rpm) / 2, step, out revolutions);
            }
            else if (counted < HoldS)
            {
                Count(_rpm, Math.Min(since, HoldS) - counted, out revolutions);
            }
        }

        if (known)
        {
            _rpm = rpm;
            _rpmAt = frame.At;
            Known = true;
        }

        _last = frame.At;
        _any = true;
    }

    private void Count(double rpm, double seconds, out double revolutions)
    {
        revolutions = rpm / 60 * seconds;
        Revolutions += revolutions;
        if (rpm > RunningRpm) RunningS += seconds;
    }
}
