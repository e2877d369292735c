using System.Globalization;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Positions;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Tests.Reading.Nmea;

public sealed class PositionedLogTests
{
    [Fact]
    public async Task Positions_stand_among_the_records_of_the_log_in_order_of_time()
    {
        (List<string> given, ILogReader reader, ReadingReport report) = await ReadAsync("t [s],RPM\n0,1000\n0.5,1100\n1.0,1200\n", Track(0.1, 0.5, 2.0), startS: 0.1);
        Assert.Equal(["0 RPM=1000", "0 |", "0.1 latitude=10", "0.1 longitude=20", "0.1 |", "0.5 latitude=10", "0.5 longitude=20", "0.5 |", "0.5 RPM=1100", "0.5 |", "1 RPM=1200", "1 |"], given);
        Assert.Equal("Positions come from gps.nmea (NMEA 0183: 3 lines, 3 with a fix, 0 without one, 0 of other kinds, 0 empty, 0 damaged; 0 out of order); it runs from 0.1 to 2 s of log time, 2 instants of it within the log.", reader.Assumptions[^1]);
        Assert.Equal(0, report.ProblemCount);
    }

    [Fact]
    public async Task Positions_from_within_a_pause_of_the_log_are_left_out_and_no_record_goes_back_in_time()
    {
        (List<string> given, _, _) = await ReadAsync("t [s],RPM\n0,1000\n1,1000\n60,1100\n61,1100\n62,1100\n", Track([.. Enumerable.Range(0, 63).Select(second => second + 0.5)]), startS: 0.5);
        double[] ends = [.. given.Where(line => line.EndsWith('|')).Select(line => double.Parse(line.Split(' ')[0], CultureInfo.InvariantCulture))];
        Assert.Equal(ends.Order(), ends);
        Assert.Equal([0, 0.5, 1, 60, 60.5, 61, 61.5, 62], ends);
    }

    [Fact]
    public async Task What_comes_before_the_log_is_left_out()
    {
        (List<string> given, _, _) = await ReadAsync("t [s],RPM\n100,1000\n101,1100\n", Track(0, 99.9, 100.5), startS: 0);
        Assert.Equal(["100.5 latitude=10", "100.5 longitude=20"], given.Where(line => line.Contains("itude", StringComparison.Ordinal)), StringComparer.Ordinal);
    }

    [Fact]
    public async Task No_time_in_common_is_told_with_what_to_do()
    {
        (List<string> given, ILogReader reader, _) = await ReadAsync("t [s],RPM\n100,1000\n101,1100\n", Track(0, 1), startS: 0);
        Assert.DoesNotContain(given, line => line.Contains("itude", StringComparison.Ordinal));
        Assert.EndsWith("0 instants of it within the log; set start_s beside file = \"gps.nmea\" to the log time of its first sentence.", reader.Assumptions[^1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_damaged_stamp_of_the_log_does_not_pull_the_positions_along()
    {
        var frames = new StringBuilder();
        for (int i = 0; i <= 40; i++) frames.Append(CultureInfo.InvariantCulture, $"({(i == 10 ? 99_999 : 1000 + (0.1 * i)):F6}) can0 0CF00400#F07D859B0FFFFF85\n");
        (List<string> given, _, _) = await ReadAsync(frames.ToString(), Track([.. Enumerable.Range(0, 5).Select(i => (double)i)]), startS: 0);
        double[] times = [.. given.Where(line => line.Contains("latitude", StringComparison.Ordinal)).Select(line => double.Parse(line.Split(' ')[0], CultureInfo.InvariantCulture))];
        Assert.Equal([0, 1, 2, 3, 4], times);
        int last = given.FindIndex(line => line.StartsWith("3 latitude", StringComparison.Ordinal));
        Assert.Contains(given[..last], line => line.StartsWith("2.9 ", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("no sentence at all\n", "gps.nmea: no NMEA 0183 sentence with a position in it (line 1: a sentence begins with '$'); GGA, RMC, GLL and VTG are read, as in $GPRMC,...*6A")]
    [InlineData("", "gps.nmea: no NMEA 0183 sentence with a position in it; GGA, RMC, GLL and VTG are read, as in $GPRMC,...*6A")]
    public async Task A_file_that_holds_no_sentence_is_refused(string text, string expected)
    {
        InputException error = await Assert.ThrowsAsync<InputException>(async () => await ReadAsync("t [s],RPM\n0,1000\n1,1000\n", text, 0));
        Assert.Equal(expected, error.Message);
    }

    [Fact]
    public async Task Damaged_sentences_are_problems_of_the_reading()
    {
        (_, _, ReadingReport report) = await ReadAsync("t [s],RPM\n0,1000\n1,1100\n", Track(0, 0.5) + "$GPGGA,1*00\r\n", 0);
        Assert.Equal(1, report.ProblemCount);
        Assert.Equal("gps.nmea:3: the checksum after '*' is the exclusive or of all bytes between '$' and '*'; this one differs", report.Problems[^1].ToString());
    }

    // Truth: a circle of 200 m radius at 40 m/s on the WGS84 ellipsoid, so that a lap lasts 2π·200/40 = 31.416 s; the log itself knows no laps.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Laps_are_found_at_the_gate_by_the_side_file_alone(bool asLive)
    {
        const double Radius = 200, Speed = 40, LengthS = 140;
        var sentences = new StringBuilder();
        for (int i = 0; i <= LengthS * 10; i++)
        {
            double angle = Speed / Radius * i / 10.0;
            (double latitude, double longitude) = Place(Radius, angle);
            sentences.Append(Sentences.Rmc(new TimeSpan(0, 23, 58, 59) + TimeSpan.FromSeconds(i / 10.0), latitude, longitude, Speed * 3.6 / 1.852, i < 610 ? "311225" : "010126")).Append("\r\n");
        }
        var log = new StringBuilder("t [s],Oil Press [kPa],RPM\n");
        for (int i = 0; i <= LengthS * 20; i++) log.Append(CultureInfo.InvariantCulture, $"{500 + (i / 20.0):F2},{400 + (i % 3)},{6000 + (i % 5)}\n");
        (double gateLatitude, double gateLongitude) = Place(Radius, 1.0);
        string car = string.Create(CultureInfo.InvariantCulture,
            $"[channels.latitude]\nfile = \"gps.nmea\"\nstart_s = 500\n[channels.longitude]\nfile = \"gps.nmea\"\n[laps]\ngate = {{ latitude = {gateLatitude:F8}, longitude = {gateLongitude:F8}, heading_deg = {360 - (180 / Math.PI):F2}, width_m = 20.0 }}\n");
        CarFileResult parsed = CarFile.Parse(Encoding.UTF8.GetBytes(car), "car.toml");
        Assert.Empty(parsed.Problems);

        SessionResult result = await SessionAnalysis.RunAsync(Source("run.csv", log.ToString()), new AnalysisRequest
        {
            Options = parsed.Options,
            AsLive = asLive,
            Readers = new ReaderOptions { Positions = new PositionSource(Source("gps.nmea", sentences.ToString())) { StartS = 500 } },
        });

        LapSummary[] timed = [.. result.Laps.Where(lap => lap.Kind == LapKind.Timed)];
        Assert.Equal(4, timed.Length);
        Assert.All(timed, lap => Assert.Equal(2 * Math.PI * Radius / Speed, lap.End.SecondsSince(lap.Start), 0.06));
        // Crossed first after an angle of one radian: 5 s from the start.
        Assert.Equal(505, timed[0].Start.Seconds, 0.06);
        Assert.Contains(result.Assumptions, sentence => sentence.StartsWith("Positions come from gps.nmea (NMEA 0183: 1401 lines, 1401 with a fix", StringComparison.Ordinal));
    }

    /// <summary>A place on a circle about 10° north, 20° east, counterclockwise from due east.</summary>
    private static (double Latitude, double Longitude) Place(double radiusM, double angle)
    {
        // Metres a degree at 10° north on WGS84: 110,608.2 along the meridian, 109,639.4 along the parallel (series of the ellipsoid's radii).
        const double North = 110_608.2, East = 109_639.4;
        return (10 + (radiusM * Math.Sin(angle) / North), 20 + (radiusM * Math.Cos(angle) / East));
    }

    private static string Track(params double[] times) =>
        string.Concat(times.Select(time => Sentences.Gga(TimeSpan.FromHours(12) + TimeSpan.FromSeconds(time), 10, 20) + "\r\n"));

    private static LogSource Source(string name, string text)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(text);
        return new LogSource(name, () => new MemoryStream(bytes));
    }

    private static async Task<(List<string> Given, ILogReader Reader, ReadingReport Report)> ReadAsync(string log, string sentences, double startS)
    {
        var options = new ReaderOptions { Positions = new PositionSource(Source("gps.nmea", sentences)) { StartS = startS } };
        ILogReader reader = await LogFile.OpenAsync(Source("run.log", log), options);
        var sink = new Listing(reader);
        ReadingReport report = await reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], sink);
        return (sink.Given, reader, report);
    }

    /// <summary>Writes down what it is given.</summary>
    private sealed class Listing(ILogReader reader) : IReadingSink
    {
        public List<string> Given { get; } = [];

        public void Add(LogTime at, int channel, double value) =>
            Given.Add(string.Create(CultureInfo.InvariantCulture, $"{at.Seconds:0.######} {reader.Channels.First(known => known.Index == channel).Name}={value:0.####}"));

        public void EndRecord(LogTime at) => Given.Add(string.Create(CultureInfo.InvariantCulture, $"{at.Seconds:0.######} |"));

        public void DataLost(LogTime at)
        {
        }
    }
}
