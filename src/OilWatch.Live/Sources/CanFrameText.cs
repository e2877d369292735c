using System.Buffers.Binary;
using System.Globalization;
using System.Text;

namespace OilWatch.Live.Sources;

/// <summary>Writes what a Linux CAN socket gives as a line of a CAN text log, so that everything behind is the same for all sources.</summary>
/// <remarks>
/// Source of the layout: linux/can.h, struct can_frame (16 bytes) and struct canfd_frame (72 bytes): identifier with its flags, 32 bits in the machine's
/// own order; length; flags (FD only); two bytes; data from the ninth byte on.
/// </remarks>
internal static class CanFrameText
{
    /// <summary>Bytes of a classic frame as the socket gives it.</summary>
    public const int ClassicBytes = 16;

    /// <summary>Bytes of an FD frame.</summary>
    public const int FdBytes = 72;

    /// <summary>Room for any line.</summary>
    public const int MaxLineBytes = 256;

    private const uint ExtendedFlag = 0x8000_0000, RemoteFlag = 0x4000_0000, ErrorFlag = 0x2000_0000;
    private const int DataAt = 8;

    /// <summary>Writes a frame as <c>(seconds.microseconds) interface id#data</c> and a line end.</summary>
    /// <param name="frame">What one read from the socket gave.</param>
    /// <param name="stampUs">When, µs since 1970.</param>
    /// <param name="interfaceName">Such as <c>can0</c>.</param>
    /// <param name="line">At least <see cref="MaxLineBytes"/>.</param>
    /// <returns>Bytes written; 0 when it is no frame.</returns>
    public static int Write(ReadOnlySpan<byte> frame, long stampUs, string interfaceName, Span<byte> line)
    {
        bool fd = frame.Length == FdBytes;
        if (!fd && frame.Length != ClassicBytes) return 0;
        uint id = BitConverter.IsLittleEndian ? BinaryPrimitives.ReadUInt32LittleEndian(frame) : BinaryPrimitives.ReadUInt32BigEndian(frame);
        int length = frame[4];
        if (length > (fd ? 64 : 8)) return 0;
        int at = Put(line, 0, string.Create(CultureInfo.InvariantCulture, $"({stampUs / 1_000_000}.{stampUs % 1_000_000:D6}) {interfaceName} "));
        bool wide = (id & (ExtendedFlag | ErrorFlag)) != 0;
        uint shown = (id & ErrorFlag) != 0 ? id & 0x3FFF_FFFF : wide ? id & 0x1FFF_FFFF : id & 0x7FF;
        at = Hex(line, at, shown, wide ? 8 : 3);
        line[at++] = (byte)'#';
        if (fd)
        {
            line[at++] = (byte)'#';
            at = Hex(line, at, (uint)(frame[5] & 0xF), 1);
        }
        if ((id & RemoteFlag) != 0 && (id & ErrorFlag) == 0)
        {
            line[at++] = (byte)'R';
            at = Hex(line, at, (uint)length, 1);
        }
        else
        {
            for (int i = 0; i < length; i++) at = Hex(line, at, frame[DataAt + i], 2);
        }
        line[at++] = (byte)'\n';
        return at;
    }

    private static int Put(Span<byte> line, int at, string text) => at + Encoding.ASCII.GetBytes(text, line[at..]);

    private static int Hex(Span<byte> line, int at, uint value, int digits)
    {
        for (int i = digits - 1; i >= 0; i--, value >>= 4) line[at + i] = "0123456789ABCDEF"u8[(int)(value & 0xF)];
        return at + digits;
    }
}
