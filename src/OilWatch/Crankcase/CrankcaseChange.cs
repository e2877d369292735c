using OilWatch.Alerts;

namespace OilWatch.Crankcase;

/// <summary>A step in the life of a crankcase event.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="Event">The event as it stands.</param>
public readonly record struct CrankcaseChange(AlertPhase Phase, LogTime At, CrankcaseEvent Event);
