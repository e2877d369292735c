namespace OilWatch.Pressure;

/// <summary>How the oil thins out while it warms up, where no temperature says so: the logarithm of the ramp's gain above its hot value dies away exponentially.</summary>
/// <param name="Height">The logarithm at the start, 0 or more; 0 where no warm-up shows.</param>
/// <param name="TimeS">In which it falls to 1/e, s.</param>
/// <param name="StartS">Log time of the start, s.</param>
internal readonly record struct WarmUp(double Height, double TimeS, double StartS)
{
    /// <summary>The logarithm of the gain at a log time.</summary>
    public double At(double atS) => Height == 0 ? 0 : Height * Math.Exp(-Math.Max(0, atS - StartS) / TimeS);
}
