using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>A made-up engine on the road, whose readings a test can spoil before the guard sees them.</summary>
internal sealed class GuardBench
{
    public delegate void Spoiler(double atS, ref EngineFrame frame);

    /// <summary>The roles that the made-up log has, one bit each.</summary>
    public const uint Logged = 1u << (int)Role.OilPressure | 1u << (int)Role.EngineSpeed | 1u << (int)Role.LateralG | 1u << (int)Role.LongitudinalG
        | 1u << (int)Role.VehicleSpeed;

    private readonly List<SensorFault> _changes = [];
    private readonly List<EngineFrame> _frames = [];

    /// <summary>Everything the guard raised and ended, in order.</summary>
    public IReadOnlyList<SensorFault> Changes => _changes;

    /// <summary>The frames as the guard left them.</summary>
    public IReadOnlyList<EngineFrame> Frames => _frames;

    public SensorGuard Guard { get; private init; } = new(SensorGuardOptions.Default);

    /// <summary>Faults that were raised.</summary>
    public IEnumerable<SensorFault> Raised => _changes.Where(change => change.Ending == EventEnd.Open);

    /// <summary>Faults that are over.</summary>
    public IEnumerable<SensorFault> Ended => _changes.Where(change => change.Ending != EventEnd.Open);

    /// <summary>The frames in which a role is masked.</summary>
    public IEnumerable<EngineFrame> Masked(Role role) => _frames.Where(frame => frame.IsMasked(role));

    /// <summary>Runs a healthy engine through the guard with what the test does to its readings.</summary>
    public static GuardBench Run(double hz, double seconds, Spoiler? spoil = null, int seed = 20261125, SensorGuard? guard = null)
    {
        var bench = new GuardBench { Guard = guard ?? new SensorGuard(SensorGuardOptions.Default) };
        foreach (EngineFrame given in Healthy(hz, seconds, seed))
        {
            EngineFrame frame = given;
            spoil?.Invoke(frame.At.Seconds, ref frame);
            bench.Step(frame);
        }

        bench.Guard.Finish();
        bench.Keep();
        return bench;
    }

    /// <summary>Healthy readings: engine speed up and down, pressure with it, corners and straights, noise of a good logger.</summary>
    public static IEnumerable<EngineFrame> Healthy(double hz, double seconds, int seed = 20261125)
    {
        var noise = new Gauss(seed);
        for (int i = 0; i <= seconds * hz; i++)
        {
            double t = i / hz;
            double rpm = 4800 + (1700 * Math.Sin(0.8 * t)) + (8 * noise.Next());
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { Fresh = uint.MaxValue };
            frame[Role.EngineSpeed] = rpm;
            frame[Role.OilPressure] = Math.Round(180 + (0.045 * rpm) + (2.5 * noise.Next()), 1);
            frame[Role.LateralG] = Math.Round((1.0 * Math.Sin(0.55 * t)) + (0.02 * noise.Next()), 3);
            frame[Role.LongitudinalG] = Math.Round((0.5 * Math.Cos(0.8 * t)) + (0.02 * noise.Next()), 3);
            frame[Role.VehicleSpeed] = 120 + (40 * Math.Sin(0.2 * t));
            yield return frame;
        }
    }

    private void Step(EngineFrame frame)
    {
        Guard.Apply(ref frame);
        Keep();
        _frames.Add(frame);
    }

    private void Keep()
    {
        ref readonly FaultChanges changes = ref Guard.Changes;
        for (int i = 0; i < changes.Count; i++) _changes.Add(changes[i]);
    }
}
