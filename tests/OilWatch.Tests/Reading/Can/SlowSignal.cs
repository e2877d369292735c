using OilWatch.Reading.Can;

namespace OilWatch.Tests.Reading.Can;

/// <summary>A second opinion on bit layouts: one bit at a time, as the format is described.</summary>
internal static class SlowSignal
{
    /// <summary>Bit numbers of a signal, the most significant first. Bit number = 8 · byte + bit in the byte.</summary>
    public static IEnumerable<int> BitNumbers(SignalLayout layout)
    {
        int bit = layout.IsMotorola ? layout.StartBit : layout.StartBit + layout.Bits - 1;
        for (int i = 0; i < layout.Bits; i++)
        {
            yield return bit;
            if (!layout.IsMotorola) bit--;
            else bit = bit % 8 == 0 ? bit + 15 : bit - 1;                        // on to bit 7 of the next byte
        }
    }

    public static ulong Decode(SignalLayout layout, ReadOnlySpan<byte> data)
    {
        ulong raw = 0;
        foreach (int bit in BitNumbers(layout)) raw = (raw << 1) | (uint)((data[bit / 8] >> (bit % 8)) & 1);
        return raw;
    }

    public static void Encode(SignalLayout layout, Span<byte> data, ulong raw)
    {
        int left = layout.Bits;
        foreach (int bit in BitNumbers(layout))
        {
            left--;
            byte mask = (byte)(1 << (bit % 8));
            if (((raw >> left) & 1) != 0) data[bit / 8] |= mask;
            else data[bit / 8] &= (byte)~mask;
        }
    }

    /// <summary>The raw bits of a physical value, to the nearest step.</summary>
    public static ulong Raw(CanSignal signal, double value) =>
        (ulong)(long)Math.Round((value - signal.Offset) / signal.Scale) & (ulong.MaxValue >> (64 - signal.Layout.Bits));
}
