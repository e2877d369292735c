using System.Buffers;
using System.Buffers.Binary;
using MessagePack;
using OilWatch.Reading.Recording;

namespace OilWatch.Mqtt.Spooling;

/// <summary>Blocks of the spool: mark, length, checksum, and a MessagePack array. The layout is in <c>docs/mqtt.md</c>.</summary>
internal static class SpoolBlock
{
    public const int HeaderBytes = 12;
    public const int MaxBodyBytes = MqttOptions.MostPayloadBytes + 4096;

    private const int MessageKind = 1, DoneKind = 2;

    public static ReadOnlySpan<byte> Mark => "OWMQ"u8;

    /// <summary>A message that waits.</summary>
    public static void WriteMessage(IBufferWriter<byte> target, SpooledMessage message)
    {
        var body = new ArrayBufferWriter<byte>(message.Payload.Length + 256);
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(7);
        writer.Write(MessageKind);
        writer.Write(message.Run);
        writer.Write(message.Sequence);
        writer.Write(message.AtUs);
        writer.Write(message.Rank);
        writer.Write(message.Topic);
        writer.Write(message.Payload);
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>A message has arrived, and so has everything before it.</summary>
    public static void WriteDone(IBufferWriter<byte> target, string run, long sequence)
    {
        var body = new ArrayBufferWriter<byte>();
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(3);
        writer.Write(DoneKind);
        writer.Write(run);
        writer.Write(sequence);
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>Length of the block that begins here.</summary>
    /// <returns>False where no whole, undamaged block begins.</returns>
    public static bool TryMeasure(ReadOnlySpan<byte> bytes, out int length)
    {
        length = 0;
        if (bytes.Length < HeaderBytes || !bytes.StartsWith(Mark)) return false;
        int body = BinaryPrimitives.ReadInt32LittleEndian(bytes[4..]);
        if (body is < 1 or > MaxBodyBytes || bytes.Length - HeaderBytes < body) return false;
        if (BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]) != Crc32.Of(bytes.Slice(HeaderBytes, body), Crc32.Of(bytes.Slice(4, 4)))) return false;
        length = HeaderBytes + body;
        return true;
    }

    /// <summary>Reads a block that <see cref="TryMeasure"/> has measured.</summary>
    /// <returns>False for a block of a kind that is not known, or that does not hold what it should.</returns>
    public static bool TryRead(ReadOnlyMemory<byte> block, out SpooledMessage? message, out (string Run, long Sequence) done)
    {
        message = null;
        done = default;
        try
        {
            var reader = new MessagePackReader(block[HeaderBytes..]);
            int fields = reader.ReadArrayHeader();
            int kind = reader.ReadInt32();
            if (kind == DoneKind && fields >= 3)
            {
                done = (reader.ReadString() ?? "", reader.ReadInt64());
                return true;
            }
            if (kind != MessageKind || fields < 7) return false;
            string run = reader.ReadString() ?? "";
            long sequence = reader.ReadInt64();
            long at = reader.ReadInt64();
            int rank = reader.ReadInt32();
            string topic = reader.ReadString() ?? "";
            byte[] payload = reader.ReadBytes() is { } bytes ? bytes.ToArray() : [];
            if (run.Length > 64 || !TopicNames.IsText(run) || rank is < 0 or > 2 || !TopicNames.IsTopic(topic)) return false;
            message = new SpooledMessage(run, sequence, at, rank, topic, payload);
            return true;
        }
        catch (Exception error) when (error is MessagePackSerializationException or EndOfStreamException or OverflowException)
        {
            return false;
        }
    }

    private static void Write(IBufferWriter<byte> target, ReadOnlySpan<byte> body)
    {
        Span<byte> block = target.GetSpan(HeaderBytes + body.Length);
        Mark.CopyTo(block);
        BinaryPrimitives.WriteInt32LittleEndian(block[4..], body.Length);
        BinaryPrimitives.WriteUInt32LittleEndian(block[8..], Crc32.Of(body, Crc32.Of(block.Slice(4, 4))));
        body.CopyTo(block[HeaderBytes..]);
        target.Advance(HeaderBytes + body.Length);
    }
}
