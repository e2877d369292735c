using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

/// <summary>Gives its bytes in pieces of the sizes asked for, over and over; whole when none are named.</summary>
internal sealed class ChunkedStream(byte[] bytes, params int[] sizes) : ForwardStream
{
    private int _at;
    private int _piece;

    public override int Read(Span<byte> buffer)
    {
        int size = sizes.Length == 0 ? int.MaxValue : sizes[_piece++ % sizes.Length];
        int count = Math.Min(Math.Min(size, buffer.Length), bytes.Length - _at);
        bytes.AsSpan(_at, count).CopyTo(buffer);
        _at += count;
        return count;
    }
}

/// <summary>So many bytes of one value, made as they are read.</summary>
internal sealed class EndlessLine(long length, byte value) : ForwardStream
{
    private long _left = length;

    public override int Read(Span<byte> buffer)
    {
        int count = (int)Math.Min(buffer.Length, _left);
        buffer[..count].Fill(value);
        _left -= count;
        return count;
    }
}
