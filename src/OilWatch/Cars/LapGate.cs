namespace OilWatch.Cars;

/// <summary>A gate line across the circuit: crossing it in the given heading begins a lap.</summary>
/// <param name="LatitudeDeg">Middle of the gate, degrees north, WGS84, -90 to 90.</param>
/// <param name="LongitudeDeg">Middle of the gate, degrees east, WGS84, -180 to 180.</param>
/// <param name="HeadingDeg">Direction of travel through it, degrees clockwise from north, 0 to 360.</param>
/// <param name="WidthM">Width across the direction of travel, m, 1 to 200.</param>
public sealed record LapGate(double LatitudeDeg, double LongitudeDeg, double HeadingDeg, double WidthM);
