using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace OilWatch.Reading.Can;

/// <summary>Reads a CAN text log: lines of the most usual shape quickly, any other by <see cref="CandumpParser"/>.</summary>
/// <param name="run">The pass.</param>
/// <param name="quick">False reads every line the general way; the result is the same.</param>
internal sealed unsafe class CandumpHandler(CanRun run, bool quick = true) : CanLines
{
    // The usual shape: "(1436509052.249713) can0 123#DEADBEEF11223344\n". Ten digits of seconds, six or nine decimals, an interface of up to
    // seven bytes, 3 or 8 digits of id, 0 to 16 of data, LF or CRLF. The farthest byte looked at is 23 + 8 + 9 + 18 = 58.
    private const int Room = 64;

    private const ulong Zeros = 0x3030_3030_3030_3030;
    private const ulong HighBits = 0x8080_8080_8080_8080;
    private const ulong Ones = 0x0101_0101_0101_0101;
    private const ushort StampEnd = ')' | (' ' << 8);

    private readonly byte[] _data = new byte[CanFrame.MaxBytes];
    private ulong _secondsHead;                                                  // the first twelve bytes of the last stamp: "(1436509"
    private uint _secondsTail;                                                   // "052."
    private long _secondsNs;

    /// <inheritdoc/>
    protected override void Line(ReadOnlySpan<byte> line)
    {
        run.NextLine();
        CanLine parsed = CandumpParser.Parse(line, _data);
        switch (parsed.Kind)
        {
            case CanLineKind.Comment:
                run.Count(CanLineKind.Comment);
                return;
            case CanLineKind.Notice:
                run.FramesLost();
                return;
            case CanLineKind.Damaged:
                run.Damaged(line, parsed.FaultAt, parsed.Fault!);
                return;
        }
        if (!parsed.HasStamp)
        {
            run.Damaged(line, 0, CanFaults.NoStamp);
            return;
        }
        LogTime at = run.At(parsed.StampNs);
        switch (parsed.Kind)
        {
            case CanLineKind.Remote:
                run.Count(CanLineKind.Remote);
                break;
            case CanLineKind.Error:
                run.ErrorFrame(at, new CanFrame(parsed.Id, _data.AsSpan(0, parsed.Length)));
                break;
            default:
                ulong key = CanSurvey.InterfaceKey(line.Slice(parsed.InterfaceAt, parsed.InterfaceLength));
                run.Frame(at, new CanFrame(parsed.Id, _data.AsSpan(0, parsed.Length)), key);
                break;
        }
    }

    /// <inheritdoc/>
    protected override void Overlong(ReadOnlySpan<byte> beginning)
    {
        run.NextLine();
        run.Damaged(beginning[..Math.Min(beginning.Length, 80)], 0, CanFaults.TooLong);
    }

    /// <inheritdoc/>
    protected override int Ordinary(ReadOnlySpan<byte> bytes)
    {
        if (!quick || !BitConverter.IsLittleEndian || !run.TryClock(out long zeroNs, out long lastNs, out long latestNs)) return 0;
        CanDecoder decoder = run.Decoder;
        IReadingSink sink = run.Sink;
        long linesBefore = run.Lines, frames = 0, backwards = 0, toldNs = run.ToldNs;
        int used;
        fixed (byte* first = bytes)
        {
            byte* line = first;
            byte* lastStart = first + bytes.Length - Room;
            while (line <= lastStart)
            {
                if ((Read<ulong>(line) != _secondsHead || Read<uint>(line + 8) != _secondsTail) && !TryNewSecond(line)) break;
                if (!TryFraction(line + 12, out long ns, out byte* at)) break;

                // The interface ends at the first byte that is a blank or less; it has to be a blank.
                ulong name = Read<ulong>(at);
                ulong blanks = (name - (0x21 * Ones)) & ~name & HighBits;
                int nameBits = BitOperations.TrailingZeroCount(blanks) - 7;      // 57 when there is none
                if (nameBits is 0 or 57 || at[nameBits >> 3] != ' ') break;
                at += (nameBits >> 3) + 1;

                if (!TryId(ref at, out CanId id)) break;
                uint isDigit = HexText.Pairs(Vector128.Load(at), out ulong data);
                int digits = BitOperations.TrailingZeroCount(~isDigit);          // 16 when all are
                at += digits;
                if (*at == '\r') at++;
                if ((digits & 1) != 0 || *at != '\n') break;

                frames++;
                if (ns < lastNs - CanRun.BackwardsNs) backwards++;
                lastNs = ns;
                latestNs = Math.Max(latestNs, ns);
                line = at + 1;

                int plan = decoder.Find(id);
                ulong only = plan < 0 ? 0 : decoder.InterfaceOf(plan);
                if (plan < 0 || (only != 0 && only != (name & ((1UL << nameBits) - 1))))
                {
                    if (ns - toldNs <= IReadingSink.TickNanoseconds) continue;
                    toldNs = ns;
                    sink.Passed(new LogTime(ns - zeroNs));
                    continue;
                }
                toldNs = ns;
                decoder.Decode(plan, new LogTime(ns - zeroNs), data, digits >> 1, default, linesBefore + frames, sink);
            }
            used = (int)(line - first);
        }
        run.AddFrames(frames, backwards, lastNs, latestNs, toldNs);
        return used;
    }

    /// <summary><c>(1436509052.</c>: remembers it, so that the next lines need only compare.</summary>
    private bool TryNewSecond(byte* line)
    {
        if (*line != '(' || line[11] != '.' || !TryDecimal(Read<ulong>(line + 1), out long high)) return false;
        int tens = line[9] - '0', ones = line[10] - '0';
        if (tens is < 0 or > 9 || ones is < 0 or > 9) return false;
        long seconds = (high * 100) + (tens * 10) + ones;
        if (seconds > 9_000_000_000) return false;
        _secondsHead = Read<ulong>(line);
        _secondsTail = Read<uint>(line + 8);
        _secondsNs = seconds * LogTime.NanosecondsPerSecond;
        return true;
    }

    /// <summary><c>249713) </c> or <c>249713000) </c>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryFraction(byte* text, out long ns, out byte* behind)
    {
        ulong eight = Read<ulong>(text);
        if ((ushort)(eight >> 48) == StampEnd)
        {
            behind = text + 8;
            // Two zeros in front make eight digits of the six.
            bool good = TryDecimal((eight << 16) | (Zeros >> 48), out long micro);
            ns = _secondsNs + (micro * 1_000);
            return good;
        }
        behind = text + 11;
        int ninth = text[8] - '0';
        ns = 0;
        if (ninth is < 0 or > 9 || Read<ushort>(text + 9) != StampEnd || !TryDecimal(eight, out long tenNanoseconds)) return false;
        ns = _secondsNs + (tenNanoseconds * 10) + ninth;
        return true;
    }

    /// <summary>An id of 3 or 8 digits and <c>#</c>. An error frame is left to the general way.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryId(ref byte* at, out CanId id)
    {
        if (at[3] == '#')
        {
            int high = HexText.Digit(at[0]), middle = HexText.Digit(at[1]), low = HexText.Digit(at[2]);
            id = new CanId((uint)((high << 8) | (middle << 4) | low));
            at += 4;
            return high < 8 && (middle | low) < 16;                              // no digit is FF
        }
        uint isDigit = HexText.Pairs(Vector128.Load(at), out ulong bytes);
        uint value = System.Buffers.Binary.BinaryPrimitives.ReverseEndianness((uint)bytes);
        id = new CanId(value | CanId.ExtendedFlag);
        bool good = at[8] == '#' && (byte)isDigit == 0xFF && value <= CanId.ExtendedMask;
        at += 9;
        return good;
    }

    /// <summary>Eight decimal digits at once: pairs, then fours, then eight.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryDecimal(ulong text, out long value)
    {
        ulong digits = text - Zeros;
        bool good = ((digits | (digits + (0x76 * Ones))) & HighBits) == 0;
        digits = (digits * 10) + (digits >> 8);
        value = (long)((((digits & 0x0000_00FF_0000_00FF) * 0x000F_4240_0000_0064) +
            (((digits >> 16) & 0x0000_00FF_0000_00FF) * 0x0000_2710_0000_0001)) >> 32);
        return good;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static T Read<T>(byte* from)
        where T : unmanaged => Unsafe.ReadUnaligned<T>(from);
}
