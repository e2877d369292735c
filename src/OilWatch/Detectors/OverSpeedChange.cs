using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>A step in the life of an over-speed.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="OverSpeed">The over-speed as it stands.</param>
public readonly record struct OverSpeedChange(AlertPhase Phase, LogTime At, OverSpeed OverSpeed);
