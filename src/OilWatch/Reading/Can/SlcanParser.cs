namespace OilWatch.Reading.Can;

/// <summary>Reads a line of the text protocol of serial CAN adapters (SLCAN). Never throws, allocates nothing.</summary>
/// <remarks>
/// <c>t|T|r|R</c>, 3 or 8 digits of id, a length, two digits a data byte, four digits of time stamp where the adapter sends them.
/// Source: Linux, drivers/net/can/slcan/slcan-core.c (check-values 4.4). Unlike that driver, which drops lines of four characters and
/// fewer, its own example <c>e1a</c> is read.
/// </remarks>
internal static class SlcanParser
{
    private const int StampDigits = 4;
    private const int StampWrapMs = 60_000;

    // Source: linux/can/error.h (check-values 4.3).
    private const uint Controller = 0x4, Protocol = 0x8, NoAcknowledgement = 0x20, BusOff = 0x40, BusError = 0x80;

    /// <summary>Reads a line.</summary>
    /// <param name="line">The line without CR, LF or BEL.</param>
    /// <param name="data">At least eight; takes the data bytes.</param>
    public static SlcanLine Parse(ReadOnlySpan<byte> line, Span<byte> data)
    {
        if (line.IsEmpty) return new SlcanLine { Kind = CanLineKind.Comment };
        return (char)line[0] switch
        {
            't' => Frame(line, data, idDigits: 3, flags: 0),
            'T' => Frame(line, data, idDigits: 8, CanId.ExtendedFlag),
            'r' => Frame(line, data, idDigits: 3, CanId.RemoteFlag),
            'R' => Frame(line, data, idDigits: 8, CanId.ExtendedFlag | CanId.RemoteFlag),
            's' when IsState(line) => State(line, data),
            'e' when line.Length > 2 && char.IsAsciiDigit((char)line[1]) => Error(line, data),
            // What an adapter answers to commands: sent, version, serial number, flags, time stamps on or off.
            'z' or 'Z' or 'V' or 'v' or 'N' or 'F' when line.Length <= 8 => new SlcanLine { Kind = CanLineKind.Notice },
            _ => Bad(0, CanFaults.SlcanCommand),
        };
    }

    private static SlcanLine Frame(ReadOnlySpan<byte> line, Span<byte> data, int idDigits, uint flags)
    {
        int digits = HexText.CountDigits(line[1..]);
        if (digits < idDigits + 1) return Bad(digits + 1, CanFaults.SlcanShort);
        uint id = HexText.Number(line.Slice(1, idDigits));
        if (idDigits == 3 && id > CanId.StandardMask) return Bad(1, CanFaults.StandardId);
        if (id > CanId.ExtendedMask) return Bad(1, CanFaults.ExtendedId);
        int length = HexText.Digit(line[idDigits + 1]);
        if (length > CanFrame.ClassicBytes) return Bad(idDigits + 1, CanFaults.SlcanLength);
        bool remote = (flags & CanId.RemoteFlag) != 0;
        int dataAt = idDigits + 2, stampAt = dataAt + (remote ? 0 : 2 * length);
        bool stamped = line.Length == stampAt + StampDigits;
        if (digits + 1 != line.Length || (line.Length != stampAt && !stamped))
            return Bad(Math.Min(digits + 1, stampAt + StampDigits), CanFaults.SlcanData);

        var result = new SlcanLine
        {
            Kind = remote ? CanLineKind.Remote : CanLineKind.Frame,
            Id = new CanId(id | flags),
            Length = length,
            HasStamp = stamped,
        };
        if (!remote) for (int i = 0; i < length; i++) data[i] = (byte)HexText.Number(line.Slice(dataAt + (2 * i), 2));
        if (stamped) result.StampMs = (int)HexText.Number(line.Slice(stampAt, StampDigits));
        return result.StampMs < StampWrapMs ? result : Bad(stampAt, CanFaults.SlcanStamp);
    }

    /// <summary><c>sa057033</c>: active, warning, passive or bus off, with receive and transmit error counters.</summary>
    private static bool IsState(ReadOnlySpan<byte> line) =>
        line.Length == 8 && line[1] is (byte)'a' or (byte)'w' or (byte)'p' or (byte)'b' && !line[2..].ContainsAnyExceptInRange((byte)'0', (byte)'9');

    private static SlcanLine State(ReadOnlySpan<byte> line, Span<byte> data)
    {
        if (line[1] != 'b') return new SlcanLine { Kind = CanLineKind.Notice };
        data[..CanFrame.ClassicBytes].Clear();
        return new SlcanLine { Kind = CanLineKind.Error, Id = new CanId(CanId.ErrorFlag | BusOff), Length = CanFrame.ClassicBytes };
    }

    /// <summary><c>e3bcO</c>: how many letters, then one for each error.</summary>
    private static SlcanLine Error(ReadOnlySpan<byte> line, Span<byte> data)
    {
        if (line.Length != line[1] - '0' + 2) return Bad(1, CanFaults.SlcanErrorCount);
        data[..CanFrame.ClassicBytes].Clear();
        uint classes = CanId.ErrorFlag;
        for (int i = 2; i < line.Length; i++)
        {
            switch ((char)line[i])
            {
                case 'a': classes |= NoAcknowledgement | BusError; break;
                case 'b': classes |= Protocol | BusError; data[2] |= 0x08; break;    // BIT0
                case 'B': classes |= Protocol | BusError; data[2] |= 0x10; break;    // BIT1
                case 'c': classes |= Protocol | BusError; data[3] = 0x08; break;     // in the CRC
                case 'f': classes |= Protocol | BusError; data[2] |= 0x02; break;    // FORM
                case 's': classes |= Protocol | BusError; data[2] |= 0x04; break;    // STUFF
                case 'o': classes |= Controller; data[1] |= 0x01; break;             // RX_OVERFLOW
                case 'O': classes |= Controller; data[1] |= 0x02; break;             // TX_OVERFLOW
                default: return Bad(i, CanFaults.SlcanErrorLetter);
            }
        }
        return new SlcanLine { Kind = CanLineKind.Error, Id = new CanId(classes), Length = CanFrame.ClassicBytes };
    }

    private static SlcanLine Bad(int at, string fault) => new() { Kind = CanLineKind.Damaged, FaultAt = at, Fault = fault };
}
