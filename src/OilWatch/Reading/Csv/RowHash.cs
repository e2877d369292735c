using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace OilWatch.Reading.Csv;

/// <summary>A 64-bit fingerprint of a row's bytes, to know a repeated row of the same time. Not for anything hostile.</summary>
/// <remarks>Sixteen bytes a step through one full-width multiplication; the steps do not wait for each other.</remarks>
internal static class RowHash
{
    private const ulong Odd1 = 0x9E37_79B9_7F4A_7C15;      // 2^64 over the golden ratio, made odd: its bits are well mixed
    private const ulong Odd2 = 0xC2B2_AE3D_27D4_EB4F;

    /// <summary>The fingerprint of <paramref name="bytes"/>.</summary>
    public static ulong Of(ReadOnlySpan<byte> bytes)
    {
        ref byte first = ref MemoryMarshal.GetReference(bytes);
        ulong sum = (ulong)bytes.Length * Odd1, key = Odd2;
        int at = 0;
        for (; at + 16 <= bytes.Length; at += 16)
        {
            sum += Fold(Word(ref first, at) ^ key, Word(ref first, at + 8) ^ Odd1);
            key += Odd1;
        }
        if (at < bytes.Length)
        {
            if (bytes.Length >= 16)
            {
                at = bytes.Length - 16;
                sum += Fold(Word(ref first, at) ^ key, Word(ref first, at + 8) ^ Odd1);
            }
            else
            {
                ulong low = 0, high = 0;
                for (; at < bytes.Length; at++)
                    if (at < 8) low |= (ulong)bytes[at] << (8 * at);
                    else high |= (ulong)bytes[at] << (8 * (at - 8));
                sum += Fold(low ^ key, high ^ Odd1);
            }
        }
        return Fold(sum ^ Odd2, Odd1);
    }

    private static ulong Word(ref byte first, int at) => Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref first, at));

    private static ulong Fold(ulong a, ulong b)
    {
        ulong high = Math.BigMul(a, b, out ulong low);
        return high ^ low;
    }
}
