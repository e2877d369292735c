namespace OilWatch.Positions;

/// <summary>A flat map around a point: metres east and north of it.</summary>
/// <remarks>
/// Distance and direction from the origin are those of the geodesic to within 1 mm up to 10 km. Between two points
/// away from the origin the map stretches by at most (d / R)² / 6, that is 4e-7 at 10 km and far less near a gate.
/// Method: the chord in Earth-centred coordinates, turned into the tangent plane, lengthened to its arc with Euler's
/// radius of curvature in its direction.
/// </remarks>
public sealed class LocalPlane
{
    private const double RadiansPerDegree = Math.PI / 180;
    private readonly double _sinLatitude, _cosLatitude, _sinLongitude, _cosLongitude;
    private readonly double _x, _y, _z;
    private readonly double _curvatureNorth, _curvatureEast;

    /// <summary>A map around a point.</summary>
    /// <param name="latitudeDeg">Origin, degrees north, WGS84, -90 to 90.</param>
    /// <param name="longitudeDeg">Origin, degrees east, WGS84, finite.</param>
    /// <exception cref="ArgumentOutOfRangeException">A coordinate is out of range.</exception>
    public LocalPlane(double latitudeDeg, double longitudeDeg)
    {
        if (latitudeDeg is not (>= -90 and <= 90)) throw new ArgumentOutOfRangeException(nameof(latitudeDeg));
        if (!double.IsFinite(longitudeDeg)) throw new ArgumentOutOfRangeException(nameof(longitudeDeg));
        LatitudeDeg = latitudeDeg;
        LongitudeDeg = longitudeDeg;
        (_sinLatitude, _cosLatitude) = Math.SinCos(latitudeDeg * RadiansPerDegree);
        (_sinLongitude, _cosLongitude) = Math.SinCos(longitudeDeg * RadiansPerDegree);
        (_x, _y, _z) = Cartesian(_sinLatitude, _cosLatitude, _sinLongitude, _cosLongitude);
        double w2 = 1 - (Geodesy.FirstEccentricitySquared * _sinLatitude * _sinLatitude);
        _curvatureEast = Math.Sqrt(w2) / Geodesy.EquatorialRadiusM;
        _curvatureNorth = w2 * Math.Sqrt(w2) / (Geodesy.EquatorialRadiusM * (1 - Geodesy.FirstEccentricitySquared));
    }

    /// <summary>Origin, degrees north.</summary>
    public double LatitudeDeg { get; }

    /// <summary>Origin, degrees east.</summary>
    public double LongitudeDeg { get; }

    /// <summary>Where a point lies on the map, m; NaN when a coordinate is NaN.</summary>
    /// <param name="latitudeDeg">Degrees north.</param>
    /// <param name="longitudeDeg">Degrees east.</param>
    public (double EastM, double NorthM) Project(double latitudeDeg, double longitudeDeg)
    {
        (double sinLatitude, double cosLatitude) = Math.SinCos(latitudeDeg * RadiansPerDegree);
        (double sinLongitude, double cosLongitude) = Math.SinCos(longitudeDeg * RadiansPerDegree);
        (double x, double y, double z) = Cartesian(sinLatitude, cosLatitude, sinLongitude, cosLongitude);
        x -= _x;
        y -= _y;
        z -= _z;
        double east = (_cosLongitude * y) - (_sinLongitude * x);
        double outward = (_cosLongitude * x) + (_sinLongitude * y);
        double north = (_cosLatitude * z) - (_sinLatitude * outward);
        double flat2 = (east * east) + (north * north);
        if (flat2 == 0) return (east, north);
        double chord2 = (x * x) + (y * y) + (z * z);
        double curvature = ((east * east * _curvatureEast) + (north * north * _curvatureNorth)) / flat2;
        double stretch = Math.Sqrt(chord2 / flat2) * (1 + (chord2 * curvature * curvature / 24));
        return (east * stretch, north * stretch);
    }

    private static (double X, double Y, double Z) Cartesian(
        double sinLatitude, double cosLatitude, double sinLongitude, double cosLongitude)
    {
        double normal = Geodesy.EquatorialRadiusM
            / Math.Sqrt(1 - (Geodesy.FirstEccentricitySquared * sinLatitude * sinLatitude));
        return (
            normal * cosLatitude * cosLongitude,
            normal * cosLatitude * sinLongitude,
            normal * (1 - Geodesy.FirstEccentricitySquared) * sinLatitude);
    }
}
