using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Oil;

/// <summary>How the oil in the pan moves and when the pickup is uncovered.</summary>
/// <remarks>
/// The free surface tilts by atan(a/g), so at a pickup that sits off the middle it falls by offset times a/g (statics;
/// 1 g is 45 degrees). The tilt follows the acceleration as one damped sloshing mode, 0.6 to 2 Hz in a pan of car size.
/// Oil held in the top end at speed lowers the whole surface.
/// </remarks>
public sealed record Pan
{
    /// <summary>Fall of the surface at the pickup a g of left-hand corner, mm.</summary>
    public required double FallLeftMm { get; init; }

    /// <summary>Fall of the surface at the pickup a g of right-hand corner, mm.</summary>
    public required double FallRightMm { get; init; }

    /// <summary>Fall of the surface at the pickup a g of braking, mm.</summary>
    public required double FallBrakingMm { get; init; }

    /// <summary>Fall of the surface at the pickup a g of acceleration, mm.</summary>
    public required double FallAcceleratingMm { get; init; }

    /// <summary>Natural frequency of the sloshing mode, Hz.</summary>
    public required double SloshHz { get; init; }

    /// <summary>Damping of the sloshing mode, share of critical; baffles raise it.</summary>
    public required double Damping { get; init; }

    /// <summary>Share of the load's effect that builds up only while the load is held, 0 to 1.</summary>
    public required double HeldShare { get; init; }

    /// <summary>Time constant of that share, s.</summary>
    public required double HoldS { get; init; }

    /// <summary>Fall of the level at the redline by the oil held in the top end, mm.</summary>
    public required double TopEndMm { get; init; }

    /// <summary>Height of the level at rest over the edge of the pickup, mm; this is the fill.</summary>
    public double FillMm { get; init; }

    /// <summary>Height over which the pickup goes from covered to fully uncovered, mm.</summary>
    public required double EdgeMm { get; init; }

    /// <summary>Share of the inlet that is air when fully uncovered, 0 to 1.</summary>
    public double LargestAirShare { get; init; }

    /// <summary>Time constant with which air reaches the pump, s.</summary>
    public required double AirInS { get; init; }

    /// <summary>How long after it is covered the pickup still draws air, s.</summary>
    public required double PurgeS { get; init; }

    /// <summary>Time constant with which the air then clears, s.</summary>
    public required double AirOutS { get; init; }

    /// <summary>Fall of the surface at the pickup under a filtered load, mm, without the top end's share.</summary>
    /// <param name="lateralG">Filtered lateral acceleration, g, positive in a left-hand corner.</param>
    /// <param name="longitudinalG">Filtered longitudinal acceleration, g, positive when gaining speed.</param>
    public double FallMm(double lateralG, double longitudinalG) =>
        (lateralG > 0 ? FallLeftMm * lateralG : -FallRightMm * lateralG)
        + (longitudinalG > 0 ? FallAcceleratingMm * longitudinalG : -FallBrakingMm * longitudinalG);
}
