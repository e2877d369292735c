using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace OilWatch.Reading.Can;

/// <summary>Hexadecimal digits to numbers: one at a time, and sixteen at once.</summary>
internal static class HexText
{
    /// <summary>What <see cref="Digit"/> gives for anything but a digit.</summary>
    public const int NoDigit = 0xFF;

    private static ReadOnlySpan<byte> Digits =>
    [
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 255, 255, 255, 255, 255, 255,
        255, 10, 11, 12, 13, 14, 15, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 10, 11, 12, 13, 14, 15, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
        255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
    ];

    /// <summary>0 to 15, or <see cref="NoDigit"/>. Either case.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Digit(byte character) => Digits[character];

    /// <summary>True for a hexadecimal digit of either case.</summary>
    public static bool IsDigit(byte character) => Digits[character] != NoDigit;

    /// <summary>Digits at the front of a text.</summary>
    public static int CountDigits(ReadOnlySpan<byte> text)
    {
        int count = 0;
        while (count < text.Length && IsDigit(text[count])) count++;
        return count;
    }

    /// <summary>A number of up to eight digits; all of them are digits.</summary>
    public static uint Number(ReadOnlySpan<byte> digits)
    {
        uint value = 0;
        foreach (byte digit in digits) value = (value << 4) | Digits[digit];
        return value;
    }

    /// <summary>Sixteen characters as eight bytes.</summary>
    /// <param name="characters">The characters; digits are of either case.</param>
    /// <param name="bytes">The bytes, the first one least significant; those of characters that are no digits hold anything.</param>
    /// <returns>One bit a character, the first one least significant, set where it is a digit.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static uint Pairs(Vector128<byte> characters, out ulong bytes)
    {
        Vector128<byte> decimalValue = characters - Vector128.Create((byte)'0');
        Vector128<byte> letterValue = (characters | Vector128.Create((byte)0x20)) - Vector128.Create((byte)'a');
        Vector128<byte> isDecimal = Vector128.LessThan(decimalValue, Vector128.Create((byte)10));
        Vector128<byte> isLetter = Vector128.LessThan(letterValue, Vector128.Create((byte)6));
        Vector128<byte> nibbles = Vector128.ConditionalSelect(isDecimal, decimalValue, letterValue + Vector128.Create((byte)10));
        Vector128<ushort> pairs = nibbles.AsUInt16();                              // low byte: first digit
        Vector128<ushort> joined = ((pairs << 4) | (pairs >> 8)) & Vector128.Create((ushort)0x00FF);
        bytes = Vector128.Narrow(joined, joined).AsUInt64().ToScalar();
        return (isDecimal | isLetter).ExtractMostSignificantBits();
    }
}
