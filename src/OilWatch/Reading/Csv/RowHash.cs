using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace OilWatch.Reading.Csv;

/// <summary>A 64-bit fingerprint of a row's bytes, to know a repeated row of the same time. Not for anything hostile.</summary>
/// <remarks>
/// Each 64 bits, with a key mixed in, are multiplied half by half into 64 bits, and the products are added up: steps that do not wait
/// for each other. The last step overlaps the one before it.
/// </remarks>
internal static unsafe class RowHash
{
    private const ulong Odd = 0x9E37_79B9_7F4A_7C15;      // 2^64 over the golden ratio, made odd: its bits are well mixed
    private const int StepBytes = 32;

    private static Vector256<ulong> FirstKey => Vector256.Create(
        0xC2B2_AE3D_27D4_EB4FUL, 0x1656_67B1_9E37_79F9UL, 0x85EB_CA77_C2B2_AE63UL, 0x27D4_EB2F_1656_67C5UL);

    /// <summary>The fingerprint of <paramref name="length"/> bytes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    public static ulong Of(byte* bytes, int length)
    {
        Vector256<ulong> sum = Vector256<ulong>.Zero, key = FirstKey;
        if (length >= StepBytes)
        {
            int last = length - StepBytes;
            for (int at = 0; at < last; at += StepBytes)
            {
                sum += Product(Vector256.Load(bytes + at).AsUInt64() ^ key);
                key += Vector256.Create(Odd);
            }
            sum += Product(Vector256.Load(bytes + last).AsUInt64() ^ key);
        }
        else
        {
            sum = Product(Padded(bytes, length).AsUInt64() ^ key);
        }
        ulong total = Vector256.Sum(sum) + ((ulong)length * Odd);
        return (total ^ (total >> 29)) * Odd;
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static Vector256<byte> Padded(byte* bytes, int length)
    {
        Span<byte> padded = stackalloc byte[StepBytes];
        padded.Clear();
        new ReadOnlySpan<byte>(bytes, length).CopyTo(padded);
        return Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(padded));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<ulong> Product(Vector256<ulong> value) =>
        Avx2.IsSupported
            ? Avx2.Multiply(value.AsUInt32(), (value >> 32).AsUInt32())
            : (value & Vector256.Create(0xFFFF_FFFFUL)) * (value >> 32);
}
