using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>A step in the life of an oil-temperature event.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="Event">The event as it stands.</param>
public readonly record struct OilTemperatureChange(AlertPhase Phase, LogTime At, OilTemperatureEvent Event);
