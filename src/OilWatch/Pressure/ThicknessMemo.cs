using System.Runtime.CompilerServices;

namespace OilWatch.Pressure;

/// <summary>Functions of how thick the oil is, remembered: a thermometer shows few different values, and these functions are slow.</summary>
/// <remarks>A table of the latest values by a few bits of the argument: what it gives is what the function gives, to the last bit.</remarks>
internal sealed class ThicknessMemo(double power)
{
    private const int Places = 256;
    private const double LeastThickness = 0.01;
    private static readonly double LeastLogarithm = Math.Log(LeastThickness);
    private readonly Entry[] _power = new Entry[Places];
    private readonly Entry[] _logarithm = new Entry[Places];

    /// <summary>The ratio to the memo's power; 1 where the power is 0.</summary>
    public double Power(double ratio)
    {
        if (power == 0) return 1;
        ref Entry entry = ref _power[PlaceOf(ratio)];
        if (entry.Of != ratio) entry = new Entry(ratio, Math.Pow(ratio, power));
        return entry.Value;
    }

    /// <summary>The natural logarithm of a thickness, never less than that of 0.01.</summary>
    public double Logarithm(double thickness)
    {
        if (!(thickness > LeastThickness)) return LeastLogarithm;
        ref Entry entry = ref _logarithm[PlaceOf(thickness)];
        if (entry.Of != thickness) entry = new Entry(thickness, Math.Log(thickness));
        return entry.Value;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static int PlaceOf(double value)
    {
        ulong bits = BitConverter.DoubleToUInt64Bits(value);
        return (int)((bits * 0x9E3779B97F4A7C15) >> 56);
    }

    private readonly record struct Entry(double Of, double Value);
}
