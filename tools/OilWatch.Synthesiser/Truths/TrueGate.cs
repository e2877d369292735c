namespace OilWatch.Synthesiser.Truths;

/// <summary>The start line: a gate across the circuit.</summary>
/// <param name="LatitudeDeg">Degrees north.</param>
/// <param name="LongitudeDeg">Degrees east.</param>
/// <param name="HeadingDeg">Direction of travel, degrees clockwise from north, 0 to 360.</param>
/// <param name="WidthM">Width, m.</param>
public sealed record TrueGate(double LatitudeDeg, double LongitudeDeg, double HeadingDeg, double WidthM);
