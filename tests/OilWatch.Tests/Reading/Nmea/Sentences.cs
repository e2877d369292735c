using System.Globalization;
using System.Text;

namespace OilWatch.Tests.Reading.Nmea;

/// <summary>Writes NMEA 0183 sentences with their checksums.</summary>
internal static class Sentences
{
    /// <summary>A body between <c>$</c> and a checksum that fits it.</summary>
    public static string Of(string body) =>
        string.Create(CultureInfo.InvariantCulture, $"${body}*{Encoding.ASCII.GetBytes(body).Aggregate(0, (sum, value) => sum ^ value):X2}");

    /// <summary>An RMC sentence.</summary>
    public static string Rmc(TimeSpan time, double latitude, double longitude, double knots, string date = "120426", string talker = "GP") => Of(string.Create(
        CultureInfo.InvariantCulture,
        $"{talker}RMC,{Clock(time)},A,{Angle(latitude, "00")},{(latitude < 0 ? 'S' : 'N')},{Angle(longitude, "000")},{(longitude < 0 ? 'W' : 'E')},{knots:F3},0.0,{date},,,A"));

    /// <summary>A GGA sentence.</summary>
    public static string Gga(TimeSpan time, double latitude, double longitude, string talker = "GP") => Of(string.Create(
        CultureInfo.InvariantCulture,
        $"{talker}GGA,{Clock(time)},{Angle(latitude, "00")},{(latitude < 0 ? 'S' : 'N')},{Angle(longitude, "000")},{(longitude < 0 ? 'W' : 'E')},1,09,0.9,12.0,M,40.0,M,,"));

    private static string Clock(TimeSpan time) => string.Create(CultureInfo.InvariantCulture, $"{time.Hours:00}{time.Minutes:00}{time.Seconds + (time.Milliseconds / 1000.0):00.00}");

    private static string Angle(double degrees, string whole)
    {
        long tenThousandths = (long)Math.Round(Math.Abs(degrees) * 60 * 1e6);
        return string.Create(CultureInfo.InvariantCulture, $"{(tenThousandths / 60_000_000).ToString(whole, CultureInfo.InvariantCulture)}{tenThousandths % 60_000_000 / 1e6:00.000000}");
    }
}
