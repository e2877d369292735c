using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>A step in the life of a fall of oil pressure.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="Drop">The drop as it stands.</param>
public readonly record struct PressureDropChange(AlertPhase Phase, LogTime At, PressureDrop Drop);
