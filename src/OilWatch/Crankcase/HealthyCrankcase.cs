namespace OilWatch.Crankcase;

/// <summary>What a healthy engine's crankcase shows, by engine speed with the throttle open and shut.</summary>
/// <param name="shut">kPa gauge a bin, throttle shut.</param>
/// <param name="open">kPa gauge a bin, throttle open; the same where no throttle is known.</param>
/// <param name="spreadKpa">One standard deviation of healthy readings, kPa.</param>
/// <param name="makesVacuum">True when a pump makes vacuum.</param>
internal sealed class HealthyCrankcase(double[] shut, double[] open, double spreadKpa, bool makesVacuum)
{
    /// <summary>Width of a bin, rpm.</summary>
    public const double BinRpm = 500;

    /// <summary>Bins: up to 16,000 rpm.</summary>
    public const int Bins = 32;

    /// <summary>Throttle opening between shut and open, percent.</summary>
    public const double OpenPercent = 50;

    private const double BlendPercent = 40;

    /// <summary>One standard deviation of healthy readings, kPa.</summary>
    public double SpreadKpa => spreadKpa;

    /// <summary>True when a pump makes vacuum.</summary>
    public bool MakesVacuum => makesVacuum;

    /// <summary>Healthy pressure, kPa gauge.</summary>
    /// <param name="speedRpm">Engine speed as the crankcase still shows it, rpm.</param>
    /// <param name="throttle">Throttle as it still shows it, percent, or NaN.</param>
    public double At(double speedRpm, double throttle)
    {
        double shut1 = At(shut, speedRpm), open1 = At(open, speedRpm);
        double share = double.IsFinite(throttle) ? Math.Clamp(0.5 + ((throttle - OpenPercent) / BlendPercent), 0, 1) : 0.5;
        return shut1 + (share * (open1 - shut1));
    }

    /// <summary>Index of a speed's bin.</summary>
    public static int BinOf(double speedRpm) => Math.Clamp((int)(speedRpm / BinRpm), 0, Bins - 1);

    private static double At(double[] curve, double speedRpm)
    {
        double place = Math.Clamp((speedRpm / BinRpm) - 0.5, 0, Bins - 1.001);
        int below = (int)place;
        return curve[below] + ((place - below) * (curve[below + 1] - curve[below]));
    }
}
