using System.Text;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Fuzz;

/// <summary>A file of NMEA 0183 sentences beside a small log.</summary>
internal static class NmeaTarget
{
    /// <summary>Small files of every shape.</summary>
    public static readonly string[] Seeds =
    [
        "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n$GPGGA,123520,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*4D\r\n",
        "$GPRMC,000000.00,V,,,,,,,010126,,,N*79\n$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48\n",
        "$GPGLL,4916.45,N,12311.12,W,225444,A,*1D\r$GPGSA,A,3,04,05,,09,12,,,24,,,,,2.5,1.3,2.1*39\r",
        "$GPGGA,235959.9,,,,,0,,,,,,,*4F\n\n$GPGG",
        "",
    ];

    private static readonly byte[] Log = Encoding.ASCII.GetBytes("Time [s],RPM\n0,1000\n1,2000\n2,3000\n90000,3000\n90001,3000\n");

    /// <summary>Reads the bytes beside the log. Anything but an <see cref="InputException"/> is a fault of ours.</summary>
    public static void Run(ReadOnlySpan<byte> input)
    {
        byte[] bytes = input.ToArray();
        try
        {
            var options = new ReaderOptions
            {
                Positions = new PositionSource(new LogSource("fuzz.nmea", () => new MemoryStream(bytes))) { Fills = [Role.Latitude, Role.Longitude, Role.VehicleSpeed] },
            };
            ILogReader reader = LogFile.OpenAsync(new LogSource("log.csv", () => new MemoryStream(Log)), options).AsTask().GetAwaiter().GetResult();
            ReadingReport report = reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], new OrderedSink()).AsTask().GetAwaiter().GetResult();
            if (report.Problems.Length > report.ProblemCount) throw new InvalidOperationException("more problems shown than counted");
        }
        catch (InputException)
        {
            // The answer to a file that holds no sentence.
        }
    }
}
