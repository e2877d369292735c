using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>Masks readings that are not to be believed before anything is judged by them, and says what is wrong with them.</summary>
/// <remarks>Causal: it knows only frames up to now. One instance a run.</remarks>
internal sealed class SensorGuard
{
    private const int Watched = 4;
    private static readonly Role[] WatchedRoles = [Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.LongitudinalG];
    private readonly RoleGuard[] _guards = new RoleGuard[Watched];
    private readonly GuardRule[] _rules;
    private FaultChanges _changes;
    private double _recentRpm = double.NaN;
    private double _recentKmh = double.NaN;
    private LogTime _recentRpmAt;
    private LogTime _last;
    private bool _begun;

    public SensorGuard(SensorGuardOptions options)
    {
        _rules =
        [
            new(Role.OilPressure, -90, options.HighestPressureKpa, 6_000, options.FastestFallS, options.DeadPressureKpa, 0, 40, 0.05,
                options.StuckAfterS, options.ReportAfterS),
            new(Role.EngineSpeed, -50, options.HighestSpeedRpm, options.FastestSpeedChangeRpmS, 0, 200, 0, 600, 0.05,
                options.StuckAfterS, options.ReportAfterS),
            new(Role.LateralG, -options.HighestG, options.HighestG, 60, 0, -1, 0.06, 1.6, 0.05, options.StuckAfterS, options.ReportAfterS),
            new(Role.LongitudinalG, -options.HighestG, options.HighestG, 60, 0, -1, 0.06, 1.6, 0.05, options.StuckAfterS, options.ReportAfterS),
        ];
    }

    /// <summary>What the last frame raised or ended.</summary>
    public ref readonly FaultChanges Changes => ref _changes;

    /// <summary>Wild readings counted of a role.</summary>
    public long WildReadings(Role role) => Array.IndexOf(WatchedRoles, role) is >= 0 and int index ? _guards[index].WildReadings : 0;

    /// <summary>Takes over what another guard learned of this log's channels: how long their values normally stay the same.</summary>
    public void LearnFrom(SensorGuard other)
    {
        for (int i = 0; i < Watched; i++) _guards[i].Runs = other._guards[i].Runs;
    }

    /// <summary>Judges a frame: what is not to be believed becomes absent and is marked.</summary>
    public void Apply(ref EngineFrame frame)
    {
        _changes.Clear();
        double rpm = frame.SpeedRpm, kpa = frame.PressureKpa, kmh = frame.VehicleSpeedKmh;
        if (double.IsFinite(rpm)) Follow(frame.At, rpm, kpa);
        if (double.IsFinite(kmh)) _recentKmh = kmh;
        bool running = _recentRpm > 1500 && frame.At.SecondsSince(_recentRpmAt) < 30;
        bool moving = double.IsFinite(_recentKmh) ? _recentKmh > 30 : running && _recentRpm > 2500;
        for (int i = 0; i < Watched; i++)
        {
            Role role = WatchedRoles[i];
            double context = role switch
            {
                Role.OilPressure => rpm,
                Role.EngineSpeed => kpa,
                _ => double.IsFinite(kmh) ? kmh : rpm,
            };
            bool judged = role is not (Role.OilPressure or Role.EngineSpeed) || _recentRpm > 400;
            bool shouldMove = role is Role.OilPressure or Role.EngineSpeed ? running : moving;
            _guards[i].Step(frame.At, frame[role], frame.IsFresh(role), in _rules[i], context, judged, shouldMove, ref _changes);
            if (_guards[i].Masked)
            {
                frame[role] = double.NaN;
                frame.Masked |= 1u << (int)role;
            }
            if (_guards[i].Suspect) frame.Suspect |= 1u << (int)role;
        }
        _last = frame.At;
        _begun = true;
    }

    /// <summary>The log is over: what is still wrong ends here.</summary>
    public void Finish()
    {
        _changes.Clear();
        if (!_begun) return;
        for (int i = 0; i < Watched; i++) _guards[i].Finish(_last, in _rules[i], ref _changes);
    }

    /// <summary>Engine speed as it was before a dropout: an engine at speed does not stop because its sensor does, unless it stays so.</summary>
    private void Follow(LogTime at, double rpm, double kpa)
    {
        bool dropped = rpm < 400 && _recentRpm > 1500 && at.SecondsSince(_recentRpmAt) < 2;
        if (dropped && !(kpa < 30)) return;
        _recentRpm = rpm;
        _recentRpmAt = at;
    }
}
