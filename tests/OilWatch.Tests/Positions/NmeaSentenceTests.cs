using System.Text;
using CsCheck;
using OilWatch.Positions;

namespace OilWatch.Tests.Positions;

public sealed class NmeaSentenceTests
{
    // check-values 11, NMEA 0183 table (COMPUTED; the first rows are the widely printed samples).
    [Theory]
    [InlineData("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47", 48.1173, 11.5166666667)]
    [InlineData("$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A", 48.1173, 11.5166666667)]
    [InlineData("$GPRMC,225446,A,4916.45,N,12311.12,W,000.5,054.7,191194,020.3,E*68", 49.2741666667, -123.1853333333)]
    [InlineData("$GPRMC,092725.00,A,4717.11437,N,00833.91522,E,0.004,77.52,091202,,,A*5E", 47.2852395, 8.5652536667)]
    [InlineData("$GNGGA,092725.00,4717.11399,N,00833.91590,E,1,08,1.01,499.6,M,48.0,M,,*45", 47.2852331667, 8.565265)]
    [InlineData("$GPGLL,4916.45,N,12311.12,W,225444,A,*1D", 49.2741666667, -123.1853333333)]
    public void A_position_is_read(string sentence, double latitude, double longitude)
    {
        Assert.Equal(NmeaLine.Fix, NmeaSentence.Parse(Encoding.ASCII.GetBytes(sentence + "\r\n"), out NmeaFix fix, out string problem));
        Assert.Equal("", problem);
        Assert.Equal(latitude, fix.LatitudeDeg, 1e-9);
        Assert.Equal(longitude, fix.LongitudeDeg, 1e-9);
    }

    [Fact]
    public void Speed_course_date_and_time_are_read()
    {
        NmeaSentence.Parse("$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A"u8, out NmeaFix fix, out _);
        Assert.Equal(41.4848, fix.SpeedKmh, 1e-9);
        Assert.Equal(84.4, fix.CourseDeg);
        Assert.Equal(new DateOnly(1994, 3, 23), fix.Date);
        Assert.Equal(new TimeSpan(12, 35, 19), fix.TimeOfDay);

        Assert.Equal(NmeaLine.Fix, NmeaSentence.Parse("$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48"u8, out fix, out _));
        Assert.Equal(10.2, fix.SpeedKmh);
        Assert.Equal(54.7, fix.CourseDeg);
        Assert.True(double.IsNaN(fix.LatitudeDeg));
    }

    [Fact]
    public void Altitude_and_dilution_are_read()
    {
        NmeaSentence.Parse("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"u8, out NmeaFix fix, out _);
        Assert.Equal(545.4, fix.AltitudeM);
        Assert.Equal(0.9, fix.Hdop);
        Assert.True(double.IsNaN(fix.SpeedKmh));
    }

    [Fact]
    public void A_void_sentence_has_no_position_but_keeps_its_date()
    {
        Assert.Equal(NmeaLine.NoFix, NmeaSentence.Parse("$GPRMC,000000.00,V,,,,,,,010126,,,N*79"u8, out NmeaFix fix, out _));
        Assert.True(double.IsNaN(fix.LatitudeDeg));
        Assert.Equal(new DateOnly(2026, 1, 1), fix.Date);
    }

    [Fact]
    public void Other_sentences_are_known_as_such() =>
        Assert.Equal(NmeaLine.Other, NmeaSentence.Parse("$GPGSA,A,3,04,05,,09,12,,,24,,,,,2.5,1.3,2.1*39"u8, out _, out _));

    [Fact]
    public void A_blank_line_is_empty() => Assert.Equal(NmeaLine.Empty, NmeaSentence.Parse(" \r\n"u8, out _, out _));

    [Theory]
    [InlineData("$GPGLL,4916.45,N,12311.12,W,225444,A,*1E", "the checksum after '*' is the exclusive or of all bytes between '$' and '*'; this one differs")]
    [InlineData("$GPGLL,4916.45,N,12311.12,W,225444,A,", "a sentence ends with '*' and two hexadecimal digits")]
    [InlineData("$GPGLL,4916.45,N,12311.12,W,225444,A,*1", "a sentence ends with '*' and two hexadecimal digits")]
    [InlineData("$GPGLL,4916.45,N,12311.12,W,225444,A,*G0", "a sentence ends with '*' and two hexadecimal digits")]
    [InlineData("GPGLL,4916.45,N,12311.12,W,225444,A,*1D", "a sentence begins with '$'")]
    public void A_damaged_sentence_says_what_would_be_right(string sentence, string expected)
    {
        Assert.Equal(NmeaLine.Problem, NmeaSentence.Parse(Encoding.ASCII.GetBytes(sentence), out _, out string problem));
        Assert.Equal(expected, problem);
    }

    [Theory]
    [InlineData("GPGLL,4960.45,N,12311.12,W,225444,A", "a position is ddmm.mmmm,N or S,dddmm.mmmm,E or W")]
    [InlineData("GPGLL,9000.01,N,12311.12,W,225444,A", "a position is ddmm.mmmm,N or S,dddmm.mmmm,E or W")]
    [InlineData("GPGLL,4916.45,E,12311.12,W,225444,A", "a position is ddmm.mmmm,N or S,dddmm.mmmm,E or W")]
    [InlineData("GPGLL,49-1.45,N,12311.12,W,225444,A", "a position is ddmm.mmmm,N or S,dddmm.mmmm,E or W")]
    [InlineData("GPGLL,4916.45,N,12311.12,W,245444,A", "the time in field 5 is hhmmss with optional decimals")]
    [InlineData("GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,310294,003.1,W", "the date in field 9 is ddmmyy")]
    [InlineData("GPRMC,123519,A,4807.038,N,01131.000,E,02 2,084.4,230394,003.1,W", "a number has up to 18 digits and one decimal point")]
    [InlineData("GPRMC,123519,A", "an RMC sentence has at least 10 fields")]
    [InlineData("GPGGA,123519", "a GGA sentence has at least 10 fields")]
    [InlineData("GPGLL,4916.45", "a GLL sentence has at least 5 fields")]
    [InlineData("GPVTG,054.7", "a VTG sentence has at least 9 fields")]
    public void An_impossible_value_says_what_would_be_right(string body, string expected)
    {
        Assert.Equal(NmeaLine.Problem, NmeaSentence.Parse(Sentence(body), out NmeaFix fix, out string problem));
        Assert.Equal(expected, problem);
        Assert.True(double.IsNaN(fix.LatitudeDeg));
    }

    [Fact]
    public void No_bytes_make_it_throw()
    {
        byte[] seed = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A"u8.ToArray();
        Gen.Select(Gen.Byte.Array[0, 300], Gen.Int[0, 3], Gen.Int[0, seed.Length - 1], Gen.Byte).Sample(
            (noise, way, at, value) =>
            {
                byte[] mutated = [.. seed];
                mutated[at] = value;
                ReadOnlySpan<byte> line = way switch
                {
                    0 => noise,
                    1 => mutated,
                    2 => Sentence(Encoding.Latin1.GetString(mutated.AsSpan(1, seed.Length - 4))),     // damage that the checksum agrees with
                    _ => seed.AsSpan(0, at),
                };
                NmeaLine kind = NmeaSentence.Parse(line, out NmeaFix fix, out string problem);
                return (kind == NmeaLine.Problem) == (problem.Length > 0)
                    && (double.IsNaN(fix.LatitudeDeg) || Math.Abs(fix.LatitudeDeg) <= 90)
                    && (double.IsNaN(fix.LongitudeDeg) || Math.Abs(fix.LongitudeDeg) <= 180);
            },
            seed: "0000000000001",
            iter: 50_000);
    }

    private static byte[] Sentence(string body)
    {
        byte[] bytes = Encoding.Latin1.GetBytes(body);
        int sum = bytes.Aggregate(0, (total, b) => total ^ b);
        return [(byte)'$', .. bytes, .. Encoding.ASCII.GetBytes($"*{sum:X2}")];
    }
}
