namespace OilWatch.Vibration;

/// <summary>What is known of one or two windows of an order spectrum.</summary>
/// <param name="At">Their middle.</param>
/// <param name="End">Their last sample.</param>
/// <param name="SpeedRpm">Mean engine speed, rpm.</param>
/// <param name="LowestRpm">Lowest engine speed in them, rpm.</param>
/// <param name="HighestRpm">Highest engine speed in them, rpm.</param>
/// <param name="Windows">How many windows: 1 or 2.</param>
/// <param name="HighestOrder">The highest order that the waveform's rate leaves whole.</param>
internal readonly record struct OrderWindow(
    LogTime At, LogTime End, double SpeedRpm, double LowestRpm, double HighestRpm, int Windows, double HighestOrder);
