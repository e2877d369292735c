using System.Globalization;

namespace OilWatch.Reading.Can;

/// <summary>A CAN identifier with its flags, in the layout of <c>can_id</c> in linux/can.h.</summary>
/// <param name="Value">29 or 11 bits of number, bit 31 extended, bit 30 remote, bit 29 error.</param>
internal readonly record struct CanId(uint Value)
{
    /// <summary>The number has 29 bits. Source: linux/can.h, CAN_EFF_FLAG.</summary>
    public const uint ExtendedFlag = 0x8000_0000;

    /// <summary>A request without data. Source: linux/can.h, CAN_RTR_FLAG.</summary>
    public const uint RemoteFlag = 0x4000_0000;

    /// <summary>A report of the controller, not a frame of the bus. Source: linux/can.h, CAN_ERR_FLAG.</summary>
    public const uint ErrorFlag = 0x2000_0000;

    /// <summary>The largest 11-bit number. Source: linux/can.h, CAN_SFF_MASK.</summary>
    public const uint StandardMask = 0x7FF;

    /// <summary>The largest 29-bit number. Source: linux/can.h, CAN_EFF_MASK.</summary>
    public const uint ExtendedMask = 0x1FFF_FFFF;

    /// <summary>True for a 29-bit number.</summary>
    public bool IsExtended => (Value & ExtendedFlag) != 0;

    /// <summary>True for a remote frame.</summary>
    public bool IsRemote => (Value & RemoteFlag) != 0;

    /// <summary>True for an error frame; <see cref="Number"/> then holds the classes of linux/can/error.h.</summary>
    public bool IsError => (Value & ErrorFlag) != 0;

    /// <summary>The number without flags.</summary>
    public uint Number => Value & ((Value & (ExtendedFlag | ErrorFlag)) != 0 ? ExtendedMask : StandardMask);

    /// <summary>
    /// The parameter group number that SAE J1939-21 reads from a 29-bit number: without priority and source address, and
    /// without the destination where there is one (PDU1, format below 240).
    /// </summary>
    public uint ParameterGroup => (Value & 0x00FF_0000) < 0x00F0_0000 ? (Value >> 8) & 0x3FF00 : (Value >> 8) & 0x3FFFF;

    /// <summary>The source address that SAE J1939-21 reads from a 29-bit number.</summary>
    public byte SourceAddress => (byte)Value;

    /// <summary>A 29-bit identifier.</summary>
    public static CanId Extended(uint number) => new((number & ExtendedMask) | ExtendedFlag);

    /// <summary>An 11-bit identifier.</summary>
    public static CanId Standard(uint number) => new(number & StandardMask);

    /// <summary>3 digits when standard, 8 when extended, as logs write it.</summary>
    public override string ToString() =>
        Number.ToString((Value & (ExtendedFlag | ErrorFlag)) != 0 ? "X8" : "X3", CultureInfo.InvariantCulture);
}
