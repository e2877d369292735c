namespace OilWatch.Positions;

/// <summary>The shortest line between two points on the WGS84 ellipsoid.</summary>
/// <param name="DistanceM">Its length, m.</param>
/// <param name="AzimuthAtStartDeg">Direction at the first point, degrees clockwise from north, -180 to 180.</param>
/// <param name="AzimuthAtEndDeg">Direction of onward travel at the second point, degrees clockwise from north, -180 to 180.</param>
public readonly record struct GeodesicArc(double DistanceM, double AzimuthAtStartDeg, double AzimuthAtEndDeg);
