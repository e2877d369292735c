namespace OilWatch.Synthesiser.Driving;

/// <summary>A place where the car stands still for a while.</summary>
/// <param name="DistanceM">Distance since the log's first metre, m.</param>
/// <param name="ForS">How long it stands, s.</param>
/// <param name="IsSpin">True when it spun there and stalled; false in the pits.</param>
public sealed record Stop(double DistanceM, double ForS, bool IsSpin);
