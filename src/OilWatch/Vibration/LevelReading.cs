namespace OilWatch.Vibration;

/// <summary>A vibration level beside the engine speed of that instant.</summary>
/// <param name="At">When.</param>
/// <param name="Log">Natural logarithm of the level, g.</param>
/// <param name="SpeedRpm">Engine speed, rpm.</param>
/// <param name="ThrottlePercent">Throttle opening, or NaN.</param>
internal readonly record struct LevelReading(LogTime At, double Log, double SpeedRpm, double ThrottlePercent);
