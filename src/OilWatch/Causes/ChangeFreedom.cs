namespace OilWatch.Causes;

/// <summary>What may differ between two parts of running: how far the logarithms of ramp, relief pressure and delivery, and the power of viscosity, may be from what is usual.</summary>
/// <param name="UsualRamp">The usual logarithm of the ramp against before.</param>
/// <param name="Ramp">Standard deviation of it.</param>
/// <param name="Relief">Standard deviation of the logarithm of the relief pressure against before.</param>
/// <param name="Delivery">Standard deviation of the logarithm of the pump's delivery against before.</param>
/// <param name="Power">Standard deviation of the change of the power of viscosity.</param>
/// <param name="Froth">Standard deviation of the share of the delivery that froth takes at the highest speed, after less before.</param>
/// <param name="Orifice">Standard deviation of what passes orifices, after less before, 1000 rpm for each root of a kPa.</param>
internal readonly record struct ChangeFreedom(double UsualRamp, double Ramp, double Relief, double Delivery, double Power, double Froth = ChangeFreedom.None, double Orifice = ChangeFreedom.None)
{
    internal const double None = 1e-4;
    private const double Slight = 0.02;

    /// <summary>Another oil or other clearances, and another relief valve.</summary>
    public static ChangeFreedom RampAndValve { get; } = new(-0.6, 0.6, 0.3, None, 0.03);

    /// <summary>Another oil or other clearances.</summary>
    public static ChangeFreedom RampAlone { get; } = RampAndValve with { Relief = None };

    /// <summary>Another oil or other clearances, and a relief valve that sticks partly open.</summary>
    public static ChangeFreedom RampAndHole { get; } = RampAlone with { Orifice = 0.1 };

    /// <summary>A relief valve that fails in a run.</summary>
    public static ChangeFreedom ValveFails { get; } = new(0, Slight, 1, None, None);

    /// <summary>A relief valve that sticks partly open in a run: a hole that no pressure closes.</summary>
    public static ChangeFreedom ValveSticks { get; } = new(0, Slight, None, None, None, None, 0.1);

    /// <summary>A pump that fails in a run.</summary>
    public static ChangeFreedom PumpFails { get; } = new(0, Slight, None, 1, None);

    /// <summary>Froth that comes in a run: it takes the more of what the pump delivers, the faster the engine whips it up.</summary>
    public static ChangeFreedom OilFroths { get; } = new(0, Slight, None, None, None, 1);

    /// <summary>Oil that thins in a run, or clearances that grow: the valve still opens where it did.</summary>
    public static ChangeFreedom OilThins { get; } = new(0, 1, None, None, None);
}
