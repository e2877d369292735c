namespace OilWatch.Positions;

/// <summary>Distance and direction on the WGS84 ellipsoid.</summary>
/// <remarks>
/// The series are those of C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87 (2013) 43-55, to the sixth
/// order in the third flattening (error below a micrometre on this ellipsoid). The azimuth is found by a bracketed search, which
/// converges for every pair of points, near antipodes included, where Vincenty's iteration does not.
/// </remarks>
public static class Geodesy
{
    /// <summary>Equatorial radius of WGS84, m.</summary>
    public const double EquatorialRadiusM = 6378137;

    /// <summary>Flattening of WGS84.</summary>
    public const double Flattening = 1 / 298.257223563;

    internal const double FirstEccentricitySquared = Flattening * (2 - Flattening);

    private const double SecondEccentricitySquared = FirstEccentricitySquared / ((1 - Flattening) * (1 - Flattening));
    private const double ThirdFlattening = Flattening / (2 - Flattening);
    private const double PolarRadiusM = EquatorialRadiusM * (1 - Flattening);
    private const double RadiansPerDegree = Math.PI / 180;

    // Stands for 0 where only its sign matters: keeps the angle of a vector at the pole or the equator defined.
    private const double Tiny = 1e-150;

    /// <summary>The shortest line from one point to another.</summary>
    /// <param name="latitude1Deg">First point, degrees north, -90 to 90.</param>
    /// <param name="longitude1Deg">First point, degrees east.</param>
    /// <param name="latitude2Deg">Second point, degrees north, -90 to 90.</param>
    /// <param name="longitude2Deg">Second point, degrees east.</param>
    /// <returns>Length and directions; all NaN when a coordinate is not finite or a latitude is out of range.</returns>
    /// <remarks>Between points that coincide the length is 0 and the directions carry no meaning.</remarks>
    public static GeodesicArc Inverse(double latitude1Deg, double longitude1Deg, double latitude2Deg, double longitude2Deg)
    {
        if (latitude1Deg is not (>= -90 and <= 90) || latitude2Deg is not (>= -90 and <= 90)
            || !double.IsFinite(longitude1Deg) || !double.IsFinite(longitude2Deg))
        {
            return new(double.NaN, double.NaN, double.NaN);
        }

        // By symmetry: first point in the south and no nearer to the equator than the second, travel to the east.
        double longitudeDeg = Math.IEEERemainder(longitude2Deg - longitude1Deg, 360);
        int eastSign = longitudeDeg < 0 ? -1 : 1;
        longitudeDeg = Math.Abs(longitudeDeg);
        bool swapped = Math.Abs(latitude1Deg) < Math.Abs(latitude2Deg);
        (double firstDeg, double secondDeg) = swapped ? (latitude2Deg, latitude1Deg) : (latitude1Deg, latitude2Deg);
        if (swapped) eastSign = -eastSign;
        // Ten nanometres from the equator is on it.
        if (Math.Abs(firstDeg) < 1e-13) firstDeg = secondDeg = 0;
        int northSign = firstDeg <= 0 ? 1 : -1;

        var pair = new PointPair(northSign * firstDeg, northSign * secondDeg);
        double longitude = longitudeDeg * RadiansPerDegree;
        if (firstDeg == 0 && longitude <= (1 - Flattening) * Math.PI)
        {
            return Restore(EquatorialRadiusM * longitude, 1, 0, 1, 0, swapped, eastSign, northSign);     // along the equator
        }

        (double sin1, double cos1) = longitudeDeg is 0 or 180 || Math.Abs(firstDeg) == 90
            ? (longitudeDeg == 180 ? 0 : Math.Sin(longitude), Math.Cos(longitude))     // along a meridian
            : Math.SinCos(AzimuthFor(pair, longitude));
        Course course = pair.Follow(sin1, cos1);
        // What the azimuth's last digit leaves of the longitude, to first order: near the equator it is not nothing.
        double left = (longitude - course.Longitude) * EquatorialRadiusM * pair.Cos2 * course.SinAzimuth2;
        return Restore(course.LengthM + left, sin1, cos1, course.SinAzimuth2, course.CosAzimuth2, swapped, eastSign, northSign);
    }

    private static GeodesicArc Restore(
        double distance, double sin1, double cos1, double sin2, double cos2, bool swapped, int eastSign, int northSign)
    {
        int direction = swapped ? -1 : 1;
        if (swapped) (sin1, cos1, sin2, cos2) = (sin2, cos2, sin1, cos1);
        int east = direction * eastSign;
        int north = direction * northSign;
        return new(
            distance,
            Math.Atan2(east * sin1, north * cos1) / RadiansPerDegree,
            Math.Atan2(east * sin2, north * cos2) / RadiansPerDegree);
    }

    /// <summary>The azimuth at the first point whose geodesic meets the second point's parallel at this longitude, radians.</summary>
    /// <remarks>
    /// The longitude met grows with the azimuth from 0 at north to half a turn at south (Karney, section 4), so that
    /// the root is bracketed from the start. Ridders' method: IEEE Trans. Circuits Syst. 26 (1979) 979-980.
    /// </remarks>
    private static double AzimuthFor(in PointPair pair, double longitude)
    {
        double low = 0, high = Math.PI;
        double atLow = -longitude, atHigh = Math.PI - longitude;
        for (int i = 0; i < 60 && high - low > 4e-16; i++)
        {
            double middle = low + ((high - low) / 2);
            double atMiddle = Miss(pair, middle, longitude);
            if (atMiddle == 0) return middle;
            double root = Math.Sqrt((atMiddle * atMiddle) - (atLow * atHigh));
            double guess = root > 0 ? middle - ((middle - low) * atMiddle / root) : middle;
            if (guess <= low || guess >= high || double.IsNaN(guess)) guess = middle;
            double atGuess = guess == middle ? atMiddle : Miss(pair, guess, longitude);
            if (atGuess == 0) return guess;
            Narrow(middle, atMiddle, ref low, ref atLow, ref high, ref atHigh);
            Narrow(guess, atGuess, ref low, ref atLow, ref high, ref atHigh);
            if (Math.Abs(atGuess) < 1e-17) return guess;
        }

        return -atLow < atHigh ? low : high;
    }

    private static double Miss(in PointPair pair, double azimuth, double longitude)
    {
        (double sin, double cos) = Math.SinCos(azimuth);
        return pair.Follow(sin, cos).Longitude - longitude;
    }

    private static void Narrow(double at, double value, ref double low, ref double atLow, ref double high, ref double atHigh)
    {
        if (at <= low || at >= high) return;
        if (value < 0)
        {
            low = at;
            atLow = value;
        }
        else
        {
            high = at;
            atHigh = value;
        }
    }

    /// <summary>Where a geodesic from the first point ends, on the second point's parallel.</summary>
    private struct Course
    {
        public double Longitude;
        public double LengthM;
        public double SinAzimuth2;
        public double CosAzimuth2;
    }

    /// <summary>Two points by their reduced latitudes, as the auxiliary sphere has them.</summary>
    private readonly struct PointPair
    {
        private readonly double _sin1, _cos1, _sin2, _cos2;
        private readonly bool _sameParallel;
        private readonly double _cosSquaredDifference;

        public PointPair(double latitude1Deg, double latitude2Deg)
        {
            (_sin1, _cos1) = Reduced(latitude1Deg);
            (_sin2, _cos2) = Reduced(latitude2Deg);
            if (_sin1 == 0) _sin1 = -Tiny;
            _sameParallel = Math.Abs(latitude1Deg) == Math.Abs(latitude2Deg);
            // cos²β2 - cos²β1 without cancellation, whichever of sine and cosine is the smaller.
            _cosSquaredDifference = _cos1 < -_sin1
                ? (_cos2 - _cos1) * (_cos1 + _cos2)
                : (_sin1 - _sin2) * (_sin1 + _sin2);
        }

        public double Cos2 => _cos2;

        public Course Follow(double sinAzimuth1, double cosAzimuth1)
        {
            double sin0 = sinAzimuth1 * _cos1;
            double cos0 = Math.Sqrt((cosAzimuth1 * cosAzimuth1) + (sinAzimuth1 * sinAzimuth1 * _sin1 * _sin1));
            double sinAzimuth2 = _sameParallel ? sinAzimuth1 : sin0 / _cos2;
            double cosAzimuth2 = _sameParallel
                ? Math.Abs(cosAzimuth1)
                : Math.Sqrt(Math.Max(0, (cosAzimuth1 * _cos1 * cosAzimuth1 * _cos1) + _cosSquaredDifference)) / _cos2;

            (double sinSigma1, double cosSigma1) = Unit(_sin1, cosAzimuth1 * _cos1);
            (double sinSigma2, double cosSigma2) = Unit(_sin2, cosAzimuth2 * _cos2);
            double sigma = AngleBetween(sinSigma1, cosSigma1, sinSigma2, cosSigma2);
            double omega = AngleBetween(sin0 * _sin1, cosAzimuth1 * _cos1, sin0 * _sin2, cosAzimuth2 * _cos2);

            double k2 = cos0 * cos0 * SecondEccentricitySquared;
            double epsilon = k2 / ((2 * (1 + Math.Sqrt(1 + k2))) + k2);
            Span<double> terms = stackalloc double[7];
            LongitudeTerms(epsilon, terms);
            double longitudeIntegral = LongitudeFactor(epsilon)
                * (sigma + SineSum(sinSigma2, cosSigma2, terms[..6]) - SineSum(sinSigma1, cosSigma1, terms[..6]));
            LengthTerms(epsilon, terms);
            double length = PolarRadiusM * LengthFactor(epsilon)
                * (sigma + SineSum(sinSigma2, cosSigma2, terms) - SineSum(sinSigma1, cosSigma1, terms));
            return new()
            {
                Longitude = omega - (Flattening * sin0 * longitudeIntegral),
                LengthM = length,
                SinAzimuth2 = sinAzimuth2,
                CosAzimuth2 = cosAzimuth2,
            };
        }

        private static (double Sin, double Cos) Reduced(double latitudeDeg)
        {
            if (Math.Abs(latitudeDeg) == 90) return (Math.Sign(latitudeDeg), Tiny);
            (double sin, double cos) = Math.SinCos(latitudeDeg * RadiansPerDegree);
            return Unit((1 - Flattening) * sin, cos);
        }

        private static (double Sin, double Cos) Unit(double sin, double cos)
        {
            double length = Math.Sqrt((sin * sin) + (cos * cos));
            return length > 0 ? (sin / length, cos / length) : (sin, cos);
        }

        private static double AngleBetween(double sin1, double cos1, double sin2, double cos2) =>
            Math.Atan2(Math.Max(0, (cos1 * sin2) - (sin1 * cos2)), (cos1 * cos2) + (sin1 * sin2));
    }

    /// <summary>Σ terms[l] sin 2lσ for l from 1 (Clenshaw's recurrence).</summary>
    private static double SineSum(double sin, double cos, ReadOnlySpan<double> terms)
    {
        double twoCos2 = 2 * (cos - sin) * (cos + sin);
        double next = 0, afterNext = 0;
        for (int l = terms.Length - 1; l >= 1; l--) (next, afterNext) = ((twoCos2 * next) - afterNext + terms[l], next);
        return 2 * sin * cos * next;
    }

    // A1, equation 17.
    private static double LengthFactor(double e)
    {
        double e2 = e * e;
        return (1 + (e2 * ((1 / 4.0) + (e2 * ((1 / 64.0) + (e2 / 256)))))) / (1 - e);
    }

    // C1, equation 18.
    private static void LengthTerms(double e, Span<double> c)
    {
        double e2 = e * e, power = e;
        c[1] = power * ((-1 / 2.0) + (e2 * ((3 / 16.0) - (e2 / 32))));
        c[2] = (power *= e) * ((-1 / 16.0) + (e2 * ((1 / 32.0) - (e2 * 9 / 2048))));
        c[3] = (power *= e) * ((-1 / 48.0) + (e2 * 3 / 256));
        c[4] = (power *= e) * ((-5 / 512.0) + (e2 * 3 / 512));
        c[5] = (power *= e) * (-7 / 1280.0);
        c[6] = power * e * (-7 / 2048.0);
    }

    // A3, equation 24.
    private static double LongitudeFactor(double e)
    {
        const double N = ThirdFlattening;
        return 1 - (e * ((1 / 2.0) - (N / 2)
            + (e * ((1 / 4.0) + (N / 8) - (3 * N * N / 8)
            + (e * ((1 / 16.0) + (3 * N / 16) + (N * N / 16)
            + (e * ((3 / 64.0) + (N / 32)
            + (e * 3 / 128)))))))));
    }

    // C3, equation 25.
    private static void LongitudeTerms(double e, Span<double> c)
    {
        const double N = ThirdFlattening;
        double power = e;
        c[1] = power * ((1 / 4.0) - (N / 4)
            + (e * ((1 / 8.0) - (N * N / 8)
            + (e * ((3 / 64.0) + (3 * N / 64) - (N * N / 64)
            + (e * ((5 / 128.0) + (N / 64)
            + (e * 3 / 128))))))));
        c[2] = (power *= e) * ((1 / 16.0) - (3 * N / 32) + (N * N / 32)
            + (e * ((3 / 64.0) - (N / 32) - (3 * N * N / 64)
            + (e * ((3 / 128.0) + (N / 128)
            + (e * 5 / 256))))));
        c[3] = (power *= e) * ((5 / 192.0) - (3 * N / 64) + (5 * N * N / 192)
            + (e * ((3 / 128.0) - (5 * N / 192)
            + (e * 7 / 512))));
        c[4] = (power *= e) * ((7 / 512.0) - (7 * N / 256) + (e * 7 / 512));
        c[5] = power * e * 21 / 2560;
    }
}
