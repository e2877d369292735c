using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace OilWatch.Reading.Csv;

/// <summary>What the text of a cell is, as a value.</summary>
internal enum CellKind
{
    /// <summary>A finite number.</summary>
    Number,

    /// <summary>Nothing: no reading.</summary>
    Empty,

    /// <summary>A word by which a logger says that it has no value: <c>NaN</c>, <c>n/a</c>, <c>---</c>, <c>inf</c>.</summary>
    None,

    /// <summary>Anything else.</summary>
    Text,
}

/// <summary>A decimal number taken from text: (-1)^<paramref name="Negative"/> · <paramref name="Digits"/> · 10^<paramref name="Exponent"/>.</summary>
/// <param name="Negative">The sign was a minus.</param>
/// <param name="Digits">The digits without the decimal sign, the first 19 at most.</param>
/// <param name="Exponent">Of ten.</param>
/// <param name="Exact">False when there were digits beyond the 19th.</param>
internal readonly record struct DecimalText(bool Negative, ulong Digits, int Exponent, bool Exact);

/// <summary>Numbers in cells: exact, without culture, without allocation.</summary>
/// <remarks>
/// The quick way takes what loggers write: a sign and up to sixteen digits with a decimal sign among them. Up to 2^53 the digits
/// are one exact double and the power of ten is another, so that one division rounds correctly (W. D. Clinger, "How to
/// read floating point numbers accurately", PLDI 1990). Everything else goes to <see cref="double.Parse(string)"/>.
/// </remarks>
internal static unsafe class CsvNumber
{
    /// <summary>How many bytes from the start of a cell <see cref="TryQuick"/> may look at.</summary>
    public const int QuickReach = 17;

    private const ulong MaxExact = 1UL << 53;
    private const int MaxExactPower = 22;
    private const int MaxQuickLength = 16;
    private const int PowerCount = 16;
    private const int MaxCellBytes = 400;
    private const int Lane = 16;
    private const int MovesBytes = Lane + (2 * sizeof(double));

    private static readonly double[] PowersOfTen =
    [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
    ];

    private static readonly byte[] TablesPinned = MakeTables();

    /// <summary>
    /// What <see cref="TryQuick"/> looks up: the powers of ten from 0 to 15, the same with a minus, then how the digits of a cell are
    /// moved up against the right. A pointer that the caller keeps: to look a static up for each cell costs more than the division.
    /// </summary>
    public static double* Tables { get; } = (double*)Unsafe.AsPointer(ref MemoryMarshal.GetArrayDataReference(TablesPinned));

    /// <summary>The usual forms, all digits at once.</summary>
    /// <param name="cell">First byte of the cell; <see cref="QuickReach"/> bytes from here must be readable.</param>
    /// <param name="length">Bytes of the cell.</param>
    /// <param name="decimalSign">Point or comma.</param>
    /// <param name="tables"><see cref="Tables"/>.</param>
    /// <param name="digits">The digits, at most sixteen.</param>
    /// <param name="decimals">How many of them are behind the decimal sign, 0 to 15.</param>
    /// <param name="negative">A minus was before them.</param>
    /// <returns>False when the cell is not of these forms; it may still be a number.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryQuick(
        byte* cell, int length, Vector128<byte> decimalSign, double* tables, out ulong digits, out int decimals, out bool negative)
    {
        negative = *cell == (byte)'-';
        int sign = negative ? 1 : 0;
        byte* first = cell + sign;
        length -= sign;
        digits = 0;
        decimals = 0;
        if (!BitConverter.IsLittleEndian || (uint)(length - 1) >= MaxQuickLength) return false;

        Vector128<byte> values = Vector128.Load(first) - Vector128.Create((byte)'0');
        uint all = (1u << length) - 1;
        uint signs = Vector128.Equals(values, decimalSign - Vector128.Create((byte)'0')).ExtractMostSignificantBits() & all;
        uint numerals = Vector128.LessThan(values, Vector128.Create((byte)10)).ExtractMostSignificantBits() & all;
        if ((signs | numerals) != all || (signs & (signs - 1)) != 0) return false;
        int whole = BitOperations.TrailingZeroCount(signs | (1u << length));
        decimals = BitOperations.PopCount(numerals) - whole;
        if (whole == 0) return false;
        if (!Sse41.IsSupported) return TryDigitsByWords(first, whole, decimals, tables, out digits);
        digits = DigitsByVector(Ssse3.Shuffle(values, Vector128.Load(MovesOf(tables, length, whole))));
        return true;
    }

    /// <summary>The double nearest to what <see cref="TryQuick"/> found; false when that takes more than one rounding.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryQuickDouble(byte* cell, int length, Vector128<byte> decimalSign, double* tables, out double value)
    {
        if (!Sse41.IsSupported)
        {
            bool isQuick = TryQuick(cell, length, decimalSign, tables, out ulong found, out int decimals, out bool negative) & found <= MaxExact;
            // The sign goes with the divisor, so that -0 keeps it.
            value = (long)found / tables[(negative ? PowerCount : 0) + decimals];
            return isQuick;
        }

        // The same with fewer steps: whether all are digits is asked once they stand in their places, where the first decimal sign is left out and a second is no digit.
        int sign = *cell == (byte)'-' ? 1 : 0;
        byte* first = cell + sign;
        length -= sign;
        value = 0;
        if ((uint)(length - 1) >= MaxQuickLength) return false;
        Vector128<byte> text = Vector128.Load(first);
        uint signs = Vector128.Equals(text, decimalSign).ExtractMostSignificantBits();
        byte* moves = MovesOf(tables, length, BitOperations.TrailingZeroCount(signs | (1u << length)));
        Vector128<byte> moved = Ssse3.Shuffle(text - Vector128.Create((byte)'0'), Vector128.Load(moves));
        ulong digits = DigitsByVector(moved);
        value = (long)digits / ((double*)(moves + Lane))[sign];
        return Sse2.SubtractSaturate(moved, Vector128.Create((byte)9)) == Vector128<byte>.Zero & digits <= MaxExact;
    }

    /// <summary>How the digits of a cell are moved, by its length and how many of them are before the decimal sign; behind that stands what they are divided by, and the same with a minus.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static byte* MovesOf(double* tables, int length, int whole) =>
        (byte*)(tables + (2 * PowerCount)) + (((length * (MaxQuickLength + 1)) + whole) * MovesBytes);

    /// <summary>The digits with plain arithmetic, eight at a time; false for more than eight on either side of the decimal sign.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryDigitsByWords(byte* first, int whole, int decimals, double* tables, out ulong digits)
    {
        digits = 0;
        if (whole > 8 || decimals > 8) return false;
        digits = EightDigits(first, whole);
        if (decimals > 0) digits = (digits * (ulong)(long)tables[decimals]) + EightDigits(first + whole + 1, decimals);
        return true;
    }

    /// <summary>Reads a cell in full generality.</summary>
    /// <param name="cell">The cell, without quotes.</param>
    /// <param name="decimalSign">Point or comma.</param>
    /// <param name="value">The number; NaN unless it is one.</param>
    public static CellKind Read(ReadOnlySpan<byte> cell, byte decimalSign, out double value)
    {
        value = double.NaN;
        cell = cell.Trim(" \t\r"u8);
        if (cell.IsEmpty) return CellKind.Empty;
        if (!TryDecimal(cell, decimalSign, out DecimalText number)) return IsNoneWord(cell) ? CellKind.None : CellKind.Text;
        if (number is { Exact: true, Digits: <= MaxExact, Exponent: >= -MaxExactPower and <= MaxExactPower })
        {
            double digits = (long)number.Digits;
            value = number.Exponent < 0 ? digits / PowersOfTen[-number.Exponent] : digits * PowersOfTen[number.Exponent];
            if (number.Negative) value = -value;
            return CellKind.Number;
        }
        if (!TryPlatform(cell, decimalSign, out value) || !double.IsFinite(value))
        {
            value = double.NaN;
            return CellKind.Text;
        }
        return CellKind.Number;
    }

    /// <summary>Takes a decimal number apart: sign, digits, decimal sign, exponent; nothing else is allowed.</summary>
    public static bool TryDecimal(ReadOnlySpan<byte> text, byte decimalSign, out DecimalText number)
    {
        number = default;
        int at = 0;
        bool negative = false;
        if (at < text.Length && text[at] is (byte)'-' or (byte)'+') negative = text[at++] == (byte)'-';

        ulong digits = 0;
        int taken = 0, exponent = 0;
        bool any = false, exact = true, fraction = false;
        for (; at < text.Length; at++)
        {
            uint digit = (uint)(text[at] - '0');
            if (digit <= 9)
            {
                any = true;
                if (taken < 19)
                {
                    digits = (digits * 10) + digit;
                    if (digits != 0) taken++;
                    if (fraction) exponent--;
                }
                else
                {
                    exact &= digit == 0;
                    if (!fraction) exponent++;
                }
            }
            else if (text[at] == decimalSign && !fraction)
            {
                fraction = true;
            }
            else
            {
                break;
            }
        }
        if (!any) return false;
        if (at < text.Length && (text[at] | 0x20) == 'e')
        {
            if (!TryExponent(text[(at + 1)..], out int power)) return false;
            exponent += power;
            at = text.Length;
        }
        if (at != text.Length) return false;
        number = new DecimalText(negative, digits, exponent, exact);
        return true;
    }

    /// <summary>The number that sixteen digits make, the first one first: pairs are joined, then fours, eights and all.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong DigitsByVector(Vector128<byte> digits)
    {
        Vector128<short> pairs = Ssse3.MultiplyAddAdjacent(digits, Vector128.Create((ushort)0x010A).AsSByte());
        Vector128<int> fours = Sse2.MultiplyAddAdjacent(pairs, Vector128.Create(0x0001_0064).AsInt16());
        Vector128<ushort> packed = Sse41.PackUnsignedSaturate(fours, fours);
        ulong eights = Sse2.MultiplyAddAdjacent(packed.AsInt16(), Vector128.Create(0x0001_2710).AsInt16()).AsUInt64().ToScalar();
        return ((uint)eights * 100_000_000UL) + (eights >> 32);
    }

    /// <summary>The number that so many digits make, 1 to 8: they are moved up against the end of the word, zeros in front.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static uint EightDigits(byte* first, int count)
    {
        ulong word = (Unsafe.ReadUnaligned<ulong>(first) ^ 0x3030303030303030UL) << (64 - (8 * count));
        word = (word * 10) + (word >> 8);
        return (uint)((((word & 0x000000FF_000000FFUL) * 0x000F4240_00000064UL)
            + (((word >> 16) & 0x000000FF_000000FFUL) * 0x00002710_00000001UL)) >> 32);
    }

    private static byte[] MakeTables()
    {
        const byte Zero = 0x80;                                   // a shuffle writes zero where the top bit is set
        byte[] tables = GC.AllocateArray<byte>((2 * PowerCount * sizeof(double)) + ((MaxQuickLength + 1) * (MaxQuickLength + 1) * MovesBytes), pinned: true);
        Span<double> powers = MemoryMarshal.Cast<byte, double>(tables.AsSpan(0, 2 * PowerCount * sizeof(double)));
        for (int i = 0; i < PowerCount; i++)
        {
            powers[i] = PowersOfTen[i];
            powers[PowerCount + i] = -PowersOfTen[i];
        }
        Span<byte> moves = tables.AsSpan(2 * PowerCount * sizeof(double));
        moves.Fill(Zero);
        for (int length = 1; length <= MaxQuickLength; length++)
        {
            for (int whole = 0; whole <= length; whole++)
            {
                Span<byte> row = moves.Slice(((length * (MaxQuickLength + 1)) + whole) * MovesBytes, MovesBytes), lane = row[..Lane];
                Span<double> divisors = MemoryMarshal.Cast<byte, double>(row[Lane..]);
                divisors[0] = powers[Math.Max(length - whole - 1, 0)];
                divisors[1] = -divisors[0];
                int to = Lane - 1;
                if (whole == 0)
                {
                    lane[to] = 0;                                 // a cell that begins with the decimal sign, which is no digit, is not of the usual forms
                    continue;
                }
                for (int from = length - 1; from >= 0; from--)
                    if (from != whole) lane[to--] = (byte)from;
            }
        }
        return tables;
    }

    private static bool TryExponent(ReadOnlySpan<byte> text, out int power)
    {
        power = 0;
        bool negative = false;
        if (text is [(byte)'-' or (byte)'+', ..])
        {
            negative = text[0] == (byte)'-';
            text = text[1..];
        }
        if (text.IsEmpty) return false;
        foreach (byte value in text)
        {
            if (value is < (byte)'0' or > (byte)'9') return false;
            power = Math.Min((power * 10) + (value - '0'), 100_000);
        }
        if (negative) power = -power;
        return true;
    }

    private static bool TryPlatform(ReadOnlySpan<byte> cell, byte decimalSign, out double value)
    {
        value = double.NaN;
        if (cell.Length > MaxCellBytes) return false;
        Span<byte> copy = stackalloc byte[MaxCellBytes];
        cell.CopyTo(copy);
        copy = copy[..cell.Length];
        copy.Replace(decimalSign, (byte)'.');
        return double.TryParse(copy, NumberStyles.Float, CultureInfo.InvariantCulture, out value);
    }

    /// <summary>True for the words and signs by which loggers and spreadsheets say that there is no value.</summary>
    private static bool IsNoneWord(ReadOnlySpan<byte> cell)
    {
        if (cell.IndexOfAnyExcept((byte)'-') < 0) return true;
        if (cell.Length > 9) return false;
        Span<byte> lower = stackalloc byte[9];
        for (int i = 0; i < cell.Length; i++) lower[i] = cell[i] is >= (byte)'A' and <= (byte)'Z' ? (byte)(cell[i] | 0x20) : cell[i];
        ReadOnlySpan<byte> word = lower[..cell.Length];
        if (word[0] is (byte)'-' or (byte)'+') word = word[1..];
        return word.SequenceEqual("nan"u8) || word.SequenceEqual("inf"u8) || word.SequenceEqual("infinity"u8)
            || word.SequenceEqual("n/a"u8) || word.SequenceEqual("na"u8) || word.SequenceEqual("#n/a"u8) || word.SequenceEqual("n.a."u8)
            || word.SequenceEqual("null"u8) || word.SequenceEqual("none"u8) || word.SequenceEqual("nil"u8)
            || word.SequenceEqual("invalid"u8) || word.SequenceEqual("\u221E"u8)
            || word.SequenceEqual("1.#qnan"u8) || word.SequenceEqual("1.#inf"u8) || word.SequenceEqual("1.#ind"u8);
    }
}
