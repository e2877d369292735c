using System.Buffers.Binary;
using System.Text;

namespace OilWatch.Tests.Reading.Wave;

/// <summary>Writes WAVE files by hand, the odd ones too.</summary>
internal sealed class WaveBytes
{
    private static readonly byte[] GuidTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
    private readonly List<byte> _body = [];

    public static byte[] Whole(string form, params byte[][] chunks)
    {
        var body = new List<byte>();
        foreach (byte[] chunk in chunks) body.AddRange(chunk);
        return [.. Encoding.ASCII.GetBytes(form), .. UInt32((uint)body.Count + 4), .. "WAVE"u8, .. body];
    }

    public static byte[] Chunk(string name, byte[] content, uint? size = null) =>
        [.. Encoding.ASCII.GetBytes(name), .. UInt32(size ?? (uint)content.Length), .. content, .. content.Length % 2 == 1 ? new byte[1] : []];

    public static byte[] Format(int tag, int channels, int rate, int bits, int? align = null)
    {
        int frame = align ?? channels * (bits / 8);
        return Chunk("fmt ", [.. UInt16(tag), .. UInt16(channels), .. UInt32((uint)rate), .. UInt32((uint)(rate * frame)), .. UInt16(frame), .. UInt16(bits)]);
    }

    public static byte[] Extensible(int subTag, int channels, int rate, int bits)
    {
        int frame = channels * (bits / 8);
        return Chunk("fmt ", [
            .. UInt16(0xFFFE), .. UInt16(channels), .. UInt32((uint)rate), .. UInt32((uint)(rate * frame)), .. UInt16(frame), .. UInt16(bits),
            .. UInt16(22), .. UInt16(bits), .. UInt32(0), .. UInt16(subTag), .. GuidTail]);
    }

    public WaveBytes Pcm(int bits, params int[] values)
    {
        foreach (int value in values)
            for (int b = 0; b < bits; b += 8) _body.Add((byte)(value >> b));
        return this;
    }

    public WaveBytes Single(params float[] values)
    {
        foreach (float value in values) _body.AddRange(BitConverter.GetBytes(value));
        return this;
    }

    public WaveBytes Double(params double[] values)
    {
        foreach (double value in values) _body.AddRange(BitConverter.GetBytes(value));
        return this;
    }

    public byte[] Bytes => [.. _body];

    public static byte[] UInt16(int value)
    {
        var bytes = new byte[2];
        BinaryPrimitives.WriteUInt16LittleEndian(bytes, (ushort)value);
        return bytes;
    }

    public static byte[] UInt32(uint value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, value);
        return bytes;
    }
}
