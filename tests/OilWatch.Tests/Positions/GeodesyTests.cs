using CsCheck;
using OilWatch.Positions;

namespace OilWatch.Tests.Positions;

public sealed class GeodesyTests
{
    // check-values 11: GeodSolve 2.1.2 on WGS84 (COMPUTED; row 1 FOUND in the GeodTest set), distance to 1e-6 m.
    // Azimuths to 1e-7 degrees: the last digits printed for lines of some metres lie below the rounding of degrees.
    [Theory]
    [InlineData(36.530042355041, 0, -48.164270779097768864, 5.762344694676510456, 9398502.043469, 176.12587516217, 175.33430831629)]
    [InlineData(40.6, -73.8, 51.6, -0.5, 5551759.400319, 51.19888284558, 107.82177673551)]
    [InlineData(-41.32, 174.81, 40.96, -5.50, 19959679.267354, 161.06766998616, 18.82519512325)]
    [InlineData(40.640, -73.779, 1.359, 103.989, 15347613.648737, 3.30879921704, 177.48554297098)]
    [InlineData(0, 0, 0.5, 179.5, 19936288.578965, 25.67187286829, 154.32708546994)]
    [InlineData(0, 0, 0.5, 179.7, 19944127.420750, 15.55688279349, 164.44251389085)]
    [InlineData(0, 0, 0, 1, 111319.490793, 90, 90)]
    [InlineData(0, 0, 1, 0, 110574.388558, 0, 0)]
    [InlineData(47, 8, 47.0001, 8.0001, 13.469766, 34.37738268902, double.NaN)]
    [InlineData(51, 0, 51.001, 0.001, 131.543868, 32.25126238592, double.NaN)]
    [InlineData(28, -82, 28, -82.01, 983.618679, -89.99765264218, double.NaN)]
    [InlineData(-37.951033416667, 144.424867888889, -37.652821138889, 143.926495527778, 54972.271139, 306.86815920 - 360, 127.17363063 - 180)]
    public void Distance_and_directions_agree_with_the_reference(
        double latitude1, double longitude1, double latitude2, double longitude2, double distance, double start, double end)
    {
        GeodesicArc arc = Geodesy.Inverse(latitude1, longitude1, latitude2, longitude2);
        Assert.Equal(distance, arc.DistanceM, 1e-6);
        Assert.Equal(start, arc.AzimuthAtStartDeg, 1e-7);
        if (!double.IsNaN(end)) Assert.Equal(end, arc.AzimuthAtEndDeg, 1e-7);
    }

    [Theory]
    [InlineData(90, 0, -90, 0)]
    [InlineData(0, 0, 0, 180)]
    [InlineData(30, 10, -30, -170)]
    public void Antipodes_are_half_a_meridian_apart(double latitude1, double longitude1, double latitude2, double longitude2)
    {
        // Half the meridian of WGS84: 20 003 931.4586 m (a definite integral of the ellipsoid; two quarter meridians of 10 001 965.7293 m).
        Assert.Equal(20003931.4586, Geodesy.Inverse(latitude1, longitude1, latitude2, longitude2).DistanceM, 1e-4);
    }

    [Fact]
    public void A_point_is_no_distance_from_itself() =>
        Assert.Equal(0, Geodesy.Inverse(51.25, -1.5, 51.25, -1.5).DistanceM, 1e-9);

    [Theory]
    [InlineData(double.NaN, 0, 0, 0)]
    [InlineData(0, double.PositiveInfinity, 0, 0)]
    [InlineData(0, 0, 90.001, 0)]
    public void An_impossible_coordinate_has_no_distance(double latitude1, double longitude1, double latitude2, double longitude2) =>
        Assert.True(double.IsNaN(Geodesy.Inverse(latitude1, longitude1, latitude2, longitude2).DistanceM));

    [Fact]
    public void The_way_back_is_as_long_and_the_triangle_holds()
    {
        Gen<double> latitudes = Gen.Double[-90, 90];
        Gen<double> longitudes = Gen.Double[-180, 180];
        Gen.Select(latitudes, longitudes, latitudes, longitudes, latitudes, longitudes).Sample(
            (lat1, lon1, lat2, lon2, lat3, lon3) =>
            {
                double out1 = Geodesy.Inverse(lat1, lon1, lat2, lon2).DistanceM;
                double back = Geodesy.Inverse(lat2, lon2, lat1, lon1).DistanceM;
                double around = Geodesy.Inverse(lat1, lon1, lat3, lon3).DistanceM + Geodesy.Inverse(lat3, lon3, lat2, lon2).DistanceM;
                return Math.Abs(out1 - back) < 1e-6 && out1 <= around + 1e-6 && out1 is >= 0 and < 20003931.459;
            },
            seed: "0000000000001",
            iter: 2000);
    }

    [Fact]
    public void The_local_plane_keeps_distance_and_direction_to_a_millimetre_over_ten_kilometres()
    {
        Gen.Select(Gen.Double[-80, 80], Gen.Double[-180, 180], Gen.Double[-0.08, 0.08], Gen.Double[-0.08, 0.08]).Sample(
            (latitude, longitude, north, east) =>
            {
                double latitude2 = latitude + north, longitude2 = longitude + (east / Math.Cos(latitude * Math.PI / 180));
                GeodesicArc arc = Geodesy.Inverse(latitude, longitude, latitude2, longitude2);
                if (arc.DistanceM > 10_000) return true;
                (double eastM, double northM) = new LocalPlane(latitude, longitude).Project(latitude2, longitude2);
                (double sin, double cos) = Math.SinCos(arc.AzimuthAtStartDeg * Math.PI / 180);
                return Math.Abs(eastM - (arc.DistanceM * sin)) < 0.001 && Math.Abs(northM - (arc.DistanceM * cos)) < 0.001;
            },
            seed: "0000000000001",
            iter: 5000);
    }

    [Fact]
    public void The_local_plane_refuses_an_origin_off_the_globe()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new LocalPlane(91, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new LocalPlane(0, double.NaN));
    }
}
