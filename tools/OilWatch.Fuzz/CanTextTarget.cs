using OilWatch.Reading;
using OilWatch.Reading.Can;

namespace OilWatch.Fuzz;

/// <summary>Feeds bytes to the CAN text log and SLCAN readers. Anything but an <see cref="InputException"/> is a finding.</summary>
internal static class CanTextTarget
{
    private static readonly LogSource Database = new("engine.dbc", () => new MemoryStream(Messages.ToArray(), writable: false));

    private static ReadOnlySpan<byte> Messages =>
        "BO_ 256 M: 8 X\n SG_ S M : 0|8@1+ (1,0) [0|0] \"\" X\n SG_ A m0 : 8|12@1- (0.1,0) [0|0] \"\" X\nBO_ 257 W: 64 X\n SG_ B : 60|40@0+ (1,0) [0|0] \"\" X\n"u8;

    /// <summary>Runs one input.</summary>
    public static void Run(ReadOnlySpan<byte> bytes)
    {
        byte[] kept = bytes.ToArray();
        var options = new ReaderOptions { CanDatabases = [Database] };
        _ = CanTextFormat.Recognise(kept) | SlcanFormat.Recognise(kept);
        Read(CanTextFormat.OpenAsync, kept, options);
        Read(SlcanFormat.OpenAsync, kept, options);
    }

    private static void Read(Func<LogSource, ReaderOptions, CancellationToken, ValueTask<ILogReader>> open, byte[] bytes, ReaderOptions options)
    {
        try
        {
            var source = new LogSource("fuzz", () => new MemoryStream(bytes, writable: false));
            ILogReader reader = open(source, options, CancellationToken.None).AsTask().GetAwaiter().GetResult();
            ReadingReport report = reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], new Nowhere()).AsTask().GetAwaiter().GetResult();
            if (report.Lines != report.Classes.Sum(one => one.Count)) throw new InvalidOperationException("the classes do not add up to the lines");
        }
        catch (InputException)
        {
            return;
        }
    }

    private sealed class Nowhere : IReadingSink
    {
        public void Add(LogTime at, int channel, double value)
        {
        }

        public void EndRecord(LogTime at)
        {
        }

        public void DataLost(LogTime at)
        {
        }
    }
}
