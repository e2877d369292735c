namespace OilWatch.Crankcase;

/// <summary>One frame as the fit remembers it.</summary>
/// <param name="AtS">Log time, s.</param>
/// <param name="SpeedRpm">Engine speed as the crankcase still shows it, rpm.</param>
/// <param name="Throttle">Throttle opening as the crankcase still shows it, percent, or NaN.</param>
/// <param name="PressureKpa">Crankcase pressure, kPa gauge.</param>
internal readonly record struct CrankcaseSample(float AtS, float SpeedRpm, float Throttle, float PressureKpa);
