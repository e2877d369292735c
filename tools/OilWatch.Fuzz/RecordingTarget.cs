using System.Buffers;
using System.Text;
using OilWatch.Reading;
using OilWatch.Reading.Recording;

namespace OilWatch.Fuzz;

/// <summary>Feeds bytes to the reader of recordings, as they are and as the contents of a block. Anything but an <see cref="InputException"/> is a finding.</summary>
internal static class RecordingTarget
{
    /// <summary>A recording with each kind of block, as text of one character a byte.</summary>
    public static string[] Seeds { get; } = [Seed()];

    /// <summary>Runs one input.</summary>
    public static void Run(ReadOnlySpan<byte> bytes)
    {
        byte[] kept = bytes.ToArray();
        Read(kept);
        // Seeds are text of one character a byte, given as UTF-8: the recording that they spell.
        Read(Encoding.Latin1.GetBytes(Encoding.UTF8.GetString(kept)));
        // A right header round whatever it is, so that the contents are looked at as well.
        byte[] body = kept[..Math.Min(kept.Length, RecordingBlock.MaxBodyBytes)];
        if (body.Length == 0) return;
        byte[] block = [.. "OWRB"u8, .. BitConverter.GetBytes(body.Length), .. BitConverter.GetBytes(RecordingBlock.Checksum(BitConverter.GetBytes(body.Length), body)), .. body];
        Read(block);
    }

    private static void Read(byte[] bytes)
    {
        long total = 0;
        using (var stream = new RecordingStream(new MemoryStream(bytes, writable: false)))
        {
            var buffer = new byte[97];
            while (stream.Read(buffer) is > 0 and int count) total += count;
        }
        if (total > bytes.Length) throw new InvalidOperationException("more came out than went in");
        if (!RecordingFormat.Recognise(bytes)) return;
        try
        {
            ILogReader reader = LogFile.OpenAsync(new LogSource("fuzz", () => new MemoryStream(bytes, writable: false))).AsTask().GetAwaiter().GetResult();
            _ = reader.Channels.Count;
        }
        catch (InputException)
        {
            return;
        }
    }

    private static string Seed()
    {
        var blocks = new ArrayBufferWriter<byte>();
        RecordingBlock.WriteStart(blocks, new byte[16], 1, 0, "-");
        RecordingBlock.WriteDatabase(blocks, 0, "a.dbc", "BO_ 256 M: 8 X\n SG_ S : 0|8@1+ (1,0) [0|0] \"\" X\n"u8);
        RecordingBlock.WriteBytes(blocks, 0, 0, "(1.000000) can0 100#0102030405060708\n"u8);
        RecordingBlock.WriteNote(blocks, 1, 0, "lost");
        RecordingBlock.WriteEnd(blocks, 1, 0, isLast: true);
        return Encoding.Latin1.GetString(blocks.WrittenSpan);
    }
}
