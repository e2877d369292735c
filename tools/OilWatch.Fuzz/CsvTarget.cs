using OilWatch.Reading;

namespace OilWatch.Fuzz;

/// <summary>Any log by its first bytes, read whole: gzip, UTF-16, CSV.</summary>
internal static class CsvTarget
{
    /// <summary>Small logs of every shape.</summary>
    public static readonly string[] Seeds =
    [
        "Time,Oil Press,RPM\n0.00,412.5,5200\n0.05,408,5210\n0.10,-1,5220\n",
        "Note,\"a, b\"\nSample Rate,20\n\nTime [s];Oil Press [kPa];State\n0,0;1,5;on\n0,1;2,5;off\n0,2;;\n",
        "Date\tTime\tA\r\n12.04.2026\t10:15:30,5\t1e3\r\n12.04.2026\t10:15:31,5\tNaN\r\n",
        "\"Time\",\"A\nb\"\n\"0\",\"1\"\n\"1\",\"2\"\"\"\n2,\"3\n",
        "sep=;\nTimestamp;A;A\n2026-04-12T10:15:30.123Z;1;2\n2026-04-12T10:15:29+02:00;1;2\n",
        "# note\nSample Rate,20\nA,B\n1,2\n3,4\n",
        "T\0i\0m\0e\0,\0A\0\n\0000\0,\0001\0\n\0",
        "",
    ];

    /// <summary>Reads the bytes as a log. Anything but an <see cref="InputException"/> is a fault of ours.</summary>
    public static void Run(ReadOnlySpan<byte> input)
    {
        byte[] bytes = input.ToArray();
        try
        {
            ILogReader reader = LogFile.OpenAsync(new LogSource("fuzz", () => new MemoryStream(bytes))).AsTask().GetAwaiter().GetResult();
            var sink = new OrderedSink();
            ReadingReport report = reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], sink).AsTask().GetAwaiter().GetResult();
            if (report.Classes.Sum(item => item.Count) != report.Lines) throw new InvalidOperationException("the classes do not add up to the lines");
        }
        catch (InputException)
        {
            // The answer to a log that cannot be used.
        }
    }
}
