using OilWatch.Alerts;

namespace OilWatch.Vibration;

/// <summary>A step in the life of a rise of vibration.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="Rise">The rise as it stands.</param>
public readonly record struct VibrationChange(AlertPhase Phase, LogTime At, VibrationRise Rise);
