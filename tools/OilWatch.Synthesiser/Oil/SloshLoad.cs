using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Oil;

/// <summary>The load as the oil in the pan feels it: the sloshing mode, and the part that builds up while a load is held.</summary>
/// <remarks>
/// A corner that is held drains the pickup's side further than its tilt alone: oil climbs into the crankcase and the
/// top end and does not run back while the load lasts. That part follows the mode with a lag of a second or two.
/// </remarks>
/// <param name="pan">The pan.</param>
/// <param name="stepS">Step, s.</param>
internal struct SloshLoad(Pan pan, double stepS)
{
    private readonly double _held = pan.HeldShare;
    private SloshMode _lateral = new(pan.SloshHz, pan.Damping, stepS);
    private SloshMode _longitudinal = new(pan.SloshHz * 0.85, pan.Damping, stepS);
    private FirstOrderLag _lateralHeld = new(pan.HoldS, stepS);
    private FirstOrderLag _longitudinalHeld = new(pan.HoldS * 0.5, stepS);

    /// <summary>The load after one more sample of a drive, g: lateral and longitudinal.</summary>
    public (double Lateral, double Longitudinal) Step(Drive drive, int sample)
    {
        double x = _lateral.Step(drive.LateralG[sample]);
        double y = _longitudinal.Step(drive.LongitudinalG[sample]);
        return (((1 - _held) * x) + (_held * _lateralHeld.Step(x)), ((1 - _held) * y) + (_held * _longitudinalHeld.Step(y)));
    }
}
