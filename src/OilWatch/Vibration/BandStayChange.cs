using OilWatch.Alerts;

namespace OilWatch.Vibration;

/// <summary>A step in the life of a stay in an engine-speed band.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which it was known.</param>
/// <param name="Stay">The stay as it stands.</param>
public readonly record struct BandStayChange(AlertPhase Phase, LogTime At, BandStay Stay);
