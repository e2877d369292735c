using System.Text;
using CsCheck;
using OilWatch.Reading;
using OilWatch.Reading.Nmea;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Reading.Nmea;

public sealed class NmeaTrackTests
{
    // The widely printed sentences of one receiver (D. DePriest, NMEA data), checksums included: position and speed of RMC are worked out by hand,
    // 48° 07.038' and 11° 31.000', 22.4 knots of 1.852 km/h.
    [Fact]
    public void Sentences_of_one_instant_are_one_and_the_first_is_at_the_start()
    {
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(
            "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n"
            + "$GPGSA,A,3,04,05,,09,12,,,24,,,,,2.5,1.3,2.1*39\r\n", startS: 12.5);
        NmeaEpoch epoch = Assert.Single(epochs);
        Assert.Equal(12.5, epoch.At.Seconds);
        Assert.Equal(48.1173, epoch.LatitudeDeg, 1e-9);
        Assert.Equal(11.5166666667, epoch.LongitudeDeg, 1e-9);
        Assert.Equal(41.4848, epoch.SpeedKmh, 1e-9);
        Assert.Equal((3, 2, 0, 1, 0, 0), (track.Lines, track.Fixes, track.WithoutFix, track.Others, track.Empty, track.Damaged));
    }

    [Fact]
    public void Any_talker_is_heard_and_a_speed_without_a_time_belongs_to_the_instant_under_way()
    {
        (List<NmeaEpoch> epochs, _) = Read(Lines(
            Sentences.Gga(TimeSpan.FromSeconds(10), 10.5, -20.25, "GN"), Sentences.Of("GLVTG,054.7,T,,M,005.5,N,036.0,K,A"), Sentences.Gga(TimeSpan.FromSeconds(10.2), 10.6, -20.25, "GA")));
        Assert.Equal([0, 0.2], epochs.Select(epoch => epoch.At.Seconds));
        Assert.Equal(36, epochs[0].SpeedKmh);
        Assert.Equal(-20.25, epochs[0].LongitudeDeg, 1e-9);
        Assert.True(double.IsNaN(epochs[1].SpeedKmh));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Time_goes_on_across_midnight_with_and_without_a_date(bool dated)
    {
        TimeSpan[] times = [new(0, 23, 59, 59, 800), new(0, 0, 0, 0, 0), new(0, 0, 0, 0, 200)];
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(Lines([.. times.Select((time, i) => dated
            ? Sentences.Rmc(time, 1, 2, 30, i == 0 ? "311225" : "010126") : Sentences.Gga(time, 1, 2))]));
        Assert.Equal([0, 0.2, 0.4], epochs.Select(epoch => epoch.At.Seconds));
        Assert.Equal(0, track.OutOfOrder);
    }

    [Fact]
    public void A_file_that_is_continued_days_later_says_so_by_its_dates()
    {
        (List<NmeaEpoch> epochs, _) = Read(Lines(
            Sentences.Rmc(TimeSpan.FromHours(10), 1, 2, 0, "010126"), Sentences.Gga(TimeSpan.FromHours(10.5), 1, 2), Sentences.Rmc(TimeSpan.FromHours(9), 1, 2, 0, "040126"),
            Sentences.Gga(new TimeSpan(9, 0, 1), 1, 2)));
        Assert.Equal([0, 1800, (71 * 3600), (71 * 3600) + 1], epochs.Select(epoch => epoch.At.Seconds));
    }

    [Fact]
    public void What_comes_late_is_left_out_and_counted()
    {
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(Lines(
            Sentences.Gga(new TimeSpan(0, 0, 0, 1), 1, 2), Sentences.Gga(new TimeSpan(23, 59, 59), 1, 2), Sentences.Gga(new TimeSpan(0, 0, 0, 0), 1, 2), Sentences.Gga(new TimeSpan(0, 0, 0, 2), 1, 2)));
        Assert.Equal([0, 1], epochs.Select(epoch => epoch.At.Seconds));
        Assert.Equal(2, track.OutOfOrder);
    }

    [Fact]
    public void Without_a_fix_there_is_an_instant_without_a_position()
    {
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(Lines("$GPRMC,000000.00,V,,,,,,,010126,,,N*79", Sentences.Gga(TimeSpan.FromSeconds(1), 3, 4)));
        Assert.True(double.IsNaN(epochs[0].LatitudeDeg));
        Assert.Equal(3, epochs[1].LatitudeDeg, 1e-9);
        Assert.Equal((1, 1), (track.WithoutFix, track.Fixes));
    }

    [Fact]
    public void Damaged_lines_are_counted_and_told_with_their_numbers()
    {
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(Lines(
            "1,N,01131.000,E*12", Sentences.Gga(TimeSpan.FromSeconds(0), 1, 2), "", "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*48", Sentences.Gga(TimeSpan.FromSeconds(1), 1, 2)));
        Assert.Equal(2, epochs.Count);
        Assert.Equal((5, 2, 1, 2), (track.Lines, track.Fixes, track.Empty, track.Damaged));
        Assert.Equal(
            ["gps.nmea:1: a sentence begins with '$'", "gps.nmea:4: the checksum after '*' is the exclusive or of all bytes between '$' and '*'; this one differs"],
            track.Problems.Select(problem => problem.ToString()), StringComparer.Ordinal);
    }

    [Fact]
    public void A_line_that_never_ends_is_one_damaged_line()
    {
        string text = new string('$', 3_000_000) + "\n" + Sentences.Gga(TimeSpan.FromSeconds(1), 1, 2) + "\n" + new string('x', 200_000);
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(text);
        Assert.Single(epochs);
        Assert.Equal((3, 1, 2), (track.Lines, track.Fixes, track.Damaged));
    }

    [Fact]
    public void Of_a_file_that_is_all_damage_only_the_first_problems_are_kept()
    {
        (List<NmeaEpoch> epochs, NmeaTrack track) = Read(string.Concat(Enumerable.Repeat("no sentence\n", 100_000)));
        Assert.Empty(epochs);
        Assert.Equal(NmeaTrack.MostProblems, track.Problems.Length);
        Assert.InRange(track.ProblemCount, NmeaTrack.MostProblems, 100_000);
    }

    [Fact]
    public void It_does_not_matter_how_the_bytes_are_cut()
    {
        byte[] bytes = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 300).Select(i =>
            (i % 7) switch { 0 => "\r\n", 3 => "damaged\n", 5 => new string('y', 700) + "\r", _ => Sentences.Rmc(TimeSpan.FromSeconds(i * 0.1), 1 + (i * 1e-5), 2, i) + (i % 2 == 0 ? "\r\n" : "\n") })));
        (List<NmeaEpoch> whole, NmeaTrack wholeTrack) = Read(new MemoryStream(bytes));
        Gen.Select(Gen.Int[1, 5000], Gen.Int[0, 1000]).Holds(200, cut =>
        {
            (List<NmeaEpoch> epochs, NmeaTrack track) = Read(new Cut(bytes, new Random(cut.Item2), cut.Item1));
            return epochs.SequenceEqual(whole) && track.Problems.SequenceEqual(wholeTrack.Problems) && track.Lines == wholeTrack.Lines;
        });
    }

    [Fact]
    public void Whatever_comes_every_line_is_counted_once_and_time_never_goes_back()
    {
        byte[] good = Encoding.ASCII.GetBytes(Lines([.. Enumerable.Range(0, 12).Select(i => i % 3 == 0
            ? Sentences.Rmc(TimeSpan.FromSeconds(86_395 + i), 1, 2, 3, i < 5 ? "311225" : "010126") : Sentences.Gga(TimeSpan.FromSeconds((86_395 + i) % 86_400), 1, 2))]));
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Byte, Gen.Byte.Array[0, 80]).Array[0, 6].Holds(5000, changes =>
        {
            var bytes = new List<byte>(good);
            foreach ((int at, byte value, byte[] noise) in changes)
            {
                bytes[at] = value;
                if (noise.Length > 60) bytes.InsertRange(at, noise);
            }
            (List<NmeaEpoch> epochs, NmeaTrack track) = Read(new MemoryStream([.. bytes]));
            return track.Lines == track.Fixes + track.WithoutFix + track.Others + track.Empty + track.Damaged
                && epochs.Zip(epochs.Skip(1)).All(pair => pair.First.At <= pair.Second.At)
                && epochs.All(epoch => !(Math.Abs(epoch.LatitudeDeg) > 90));
        });
    }

    [Fact]
    public void Dates_that_leap_without_end_do_not_carry_time_out_of_its_range()
    {
        string[] lines = [.. Enumerable.Range(0, 400).Select(i => Sentences.Rmc(TimeSpan.FromSeconds(i), 1, 2, 3, i % 2 == 0 ? "010180" : "311279"))];
        (List<NmeaEpoch> epochs, _) = Read(Lines(lines));
        Assert.True(epochs.Zip(epochs.Skip(1)).All(pair => pair.First.At <= pair.Second.At));
    }

    private static string Lines(params string[] lines) => string.Concat(lines.Select(line => line + "\r\n"));

    private static (List<NmeaEpoch> Epochs, NmeaTrack Track) Read(string text, double startS = 0) => Read(new MemoryStream(Encoding.ASCII.GetBytes(text)), startS);

    private static (List<NmeaEpoch> Epochs, NmeaTrack Track) Read(Stream stream, double startS = 0)
    {
        using var track = new NmeaTrack("gps.nmea", stream, startS);
        var epochs = new List<NmeaEpoch>();
        while (track.TryNext(out NmeaEpoch epoch)) epochs.Add(epoch);
        return (epochs, track);
    }

    /// <summary>Gives its bytes in pieces of every length up to a limit.</summary>
    private sealed class Cut(byte[] bytes, Random random, int most) : MemoryStream(bytes)
    {
        public override int Read(Span<byte> buffer) => base.Read(buffer[..Math.Min(buffer.Length, random.Next(1, most + 1))]);
    }
}
