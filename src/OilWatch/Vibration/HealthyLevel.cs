namespace OilWatch.Vibration;

/// <summary>The healthy vibration level at one engine speed.</summary>
/// <param name="SpeedRpm">Engine speed, rpm.</param>
/// <param name="UnderPower">True under power, false while the engine is braking.</param>
/// <param name="Level">Median level, in the unit of the channel (g or mm/s).</param>
/// <param name="SpreadRatio">One standard deviation as a ratio above 1: a level of <c>Level · SpreadRatio</c> is one spread high.</param>
/// <param name="Readings">Readings behind it, a tenth of a second apart or more.</param>
public readonly record struct HealthyLevel(double SpeedRpm, bool UnderPower, double Level, double SpreadRatio, int Readings);
