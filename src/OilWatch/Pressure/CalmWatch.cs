using OilWatch.Frames;

namespace OilWatch.Pressure;

/// <summary>Says when running is calm enough to learn healthy pressure from, and whether the engine runs at all.</summary>
internal struct CalmWatch
{
    private const double RunningRpm = 500;
    private LogTime _loadedAt;
    private LogTime _stoppedAt;
    private bool _loadedEver;
    private bool _runsEver;
    private bool _running;

    /// <summary>Seconds since the engine started, or since the log began with it running; 0 while it stands.</summary>
    public double RunningS { get; private set; }

    /// <summary>True when no load has acted for long enough.</summary>
    public bool IsCalm { get; private set; }

    /// <summary>Looks at a frame whose loads are known.</summary>
    public void Step(in EngineFrame frame, PressureModelOptions options)
    {
        double rpm = frame.SpeedRpm;
        if (double.IsFinite(rpm))
        {
            if (rpm < RunningRpm)
            {
                _running = false;
                _stoppedAt = frame.At;
                _runsEver = true;
            }
            else if (!_running)
            {
                _running = true;
                // A log that begins with the engine running says nothing of a start.
                if (!_runsEver) _stoppedAt = frame.At.AddSeconds(-options.StartUpS);
                _runsEver = true;
            }
        }
        RunningS = _running ? frame.At.SecondsSince(_stoppedAt) : 0;
        double lateral = frame.LoadLateralG, longitudinal = frame.LoadLongitudinalG;
        bool loaded = Math.Abs(lateral) > options.CalmG || longitudinal < -options.CalmG || longitudinal > options.CalmG + 0.3
            || Math.Abs(frame.LateralG) > 2 * options.CalmG;
        if (loaded)
        {
            _loadedAt = frame.At;
            _loadedEver = true;
        }
        IsCalm = !loaded && (!_loadedEver || frame.At.SecondsSince(_loadedAt) >= options.CalmAfterS);
    }
}
