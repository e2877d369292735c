using System.Buffers.Binary;
using System.Runtime.CompilerServices;

namespace OilWatch.Reading.Can;

/// <summary>Where the bits of a signal are, with shifts and masks worked out once.</summary>
/// <remarks>
/// Bit number = 8 · byte + bit in the byte, bit 7 the most significant. Intel order counts up from the least significant bit;
/// Motorola order starts at the most significant bit, walks down, then on to bit 7 of the next byte.
/// </remarks>
internal readonly struct SignalLayout
{
    private readonly ulong _mask;
    private readonly byte _shift;
    private readonly byte _signShift;
    private readonly short _firstByte;

    /// <summary>Works out shifts and masks.</summary>
    /// <param name="startBit">First bit as the database numbers it, 0 or more.</param>
    /// <param name="bits">Length, 1 to 64 bits.</param>
    /// <param name="motorola">Byte order.</param>
    /// <param name="signed">Two's complement.</param>
    /// <param name="form">Integer or floating point.</param>
    public SignalLayout(int startBit, int bits, bool motorola, bool signed, CanNumberForm form = CanNumberForm.Integer)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(startBit);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(startBit, MaxStartBit);
        ArgumentOutOfRangeException.ThrowIfLessThan(bits, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bits, 64);
        StartBit = startBit;
        Bits = bits;
        IsMotorola = motorola;
        IsSigned = signed;
        Form = form;
        int first = motorola ? (8 * (startBit / 8)) + 7 - (startBit % 8) : startBit; // counted in the order of the walk
        RequiredBytes = ((first + bits - 1) / 8) + 1;
        _mask = ulong.MaxValue >> (64 - bits);
        _signShift = (byte)(64 - bits);
        _firstByte = (short)(first / 8);
        IsWide = RequiredBytes > sizeof(ulong);
        int bitsInWindow = IsWide ? 8 * (RequiredBytes - _firstByte) : 64;
        int firstInWindow = IsWide ? first - (8 * _firstByte) : first;
        _shift = (byte)(motorola ? bitsInWindow - firstInWindow - bits : firstInWindow);
    }

    /// <summary>The largest start bit accepted: the last of a SAE J1939-21 transported message of 1785 bytes.</summary>
    public const int MaxStartBit = (1785 * 8) - 1;

    /// <summary>First bit as the database numbers it.</summary>
    public int StartBit { get; }

    /// <summary>Length, bits.</summary>
    public int Bits { get; }

    /// <summary>Most significant byte first.</summary>
    public bool IsMotorola { get; }

    /// <summary>Two's complement.</summary>
    public bool IsSigned { get; }

    /// <summary>Integer or floating point.</summary>
    public CanNumberForm Form { get; }

    /// <summary>A frame shorter than this does not carry the signal.</summary>
    public int RequiredBytes { get; }

    /// <summary>Reaches beyond the first eight bytes, so <see cref="Raw(ReadOnlySpan{byte})"/> is the way to read it.</summary>
    public bool IsWide { get; }

    /// <summary>The same bits as a floating-point number, or as an integer again.</summary>
    public SignalLayout As(CanNumberForm form) => new(StartBit, Bits, IsMotorola, IsSigned, form);

    /// <summary>The raw bits from the first eight bytes of a frame. Only where <see cref="IsWide"/> is false.</summary>
    /// <param name="littleEndian">The bytes, the first one least significant; what is behind the frame's end does not matter.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ulong Raw(ulong littleEndian) =>
        ((IsMotorola ? BinaryPrimitives.ReverseEndianness(littleEndian) : littleEndian) >> _shift) & _mask;

    /// <summary>The raw bits from a frame that has at least <see cref="RequiredBytes"/>.</summary>
    public ulong Raw(ReadOnlySpan<byte> data)
    {
        if (!IsWide) return Raw(FirstEight(data));
        ReadOnlySpan<byte> window = data[_firstByte..RequiredBytes]; // nine bytes at most: 64 bits that start inside a byte
        UInt128 all = 0;
        for (int i = 0; i < window.Length; i++) all = (all << 8) | window[IsMotorola ? i : window.Length - 1 - i];
        return (ulong)(all >> _shift) & _mask;
    }

    /// <summary>The raw bits as a number, before scale and offset.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Number(ulong raw) => Form switch
    {
        CanNumberForm.Integer => IsSigned ? (long)(raw << _signShift) >> _signShift : (double)raw,
        CanNumberForm.Single => BitConverter.UInt32BitsToSingle((uint)raw),
        _ => BitConverter.UInt64BitsToDouble(raw),
    };

    /// <summary>Up to eight bytes of a frame as one number, the first byte least significant, zeros behind its end.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ulong FirstEight(ReadOnlySpan<byte> data)
    {
        if (data.Length >= sizeof(ulong)) return BinaryPrimitives.ReadUInt64LittleEndian(data);
        ulong value = 0;
        for (int i = 0; i < data.Length; i++) value |= (ulong)data[i] << (8 * i);
        return value;
    }
}
