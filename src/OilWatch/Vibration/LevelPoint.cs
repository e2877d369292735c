namespace OilWatch.Vibration;

/// <summary>The vibration level over a short stretch of time.</summary>
/// <param name="At">Its middle.</param>
/// <param name="SpeedRpm">Mean engine speed, rpm, or NaN.</param>
/// <param name="RmsG">RMS acceleration from 10 Hz up, g.</param>
public readonly record struct LevelPoint(LogTime At, double SpeedRpm, double RmsG);
