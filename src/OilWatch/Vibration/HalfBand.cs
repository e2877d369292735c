using System.Numerics;
using System.Runtime.InteropServices;

namespace OilWatch.Vibration;

/// <summary>Halves a sample rate: a linear-phase half-band filter whose delay is taken out, then every second sample.</summary>
/// <remarks>
/// 35 taps, of which every second is zero; Kaiser window. Flat within 0.16 % to 0.4 of the new rate; what would fold back below that is 56 dB down
/// (tested). Source: J. F. Kaiser, Proc. IEEE ISCAS (1974) 20.
/// </remarks>
internal sealed class HalfBand
{
    /// <summary>Samples on either side of an output that it needs.</summary>
    public const int Reach = 17;

    private const int Pairs = 9;
    private const double Beta = 5.65;                      // 60 dB: 0.1102 (A − 8.7)
    private static readonly float[] Taps = MakeTaps();

    private readonly float[] _odd;
    private readonly float[] _even;

    /// <param name="largest">The most outputs of one call.</param>
    public HalfBand(int largest)
    {
        _odd = new float[largest + (2 * Pairs) + Vector<float>.Count];
        _even = new float[largest + Vector<float>.Count];
    }

    /// <summary>Output m is centred on input 2m; makes as many as <paramref name="to"/> has room for.</summary>
    /// <param name="from">Inputs, the first of them 2m − <see cref="Reach"/> for the first output.</param>
    /// <param name="to">Outputs.</param>
    public void Run(ReadOnlySpan<float> from, Span<float> to)
    {
        int count = to.Length;
        // Input 0 is an odd neighbour (2m − 17); input 17 is the centre of the first output.
        Span<float> odd = _odd.AsSpan(0, count + (2 * Pairs) - 1);
        Span<float> even = _even.AsSpan(0, count);
        for (int i = 0; i < odd.Length; i++) odd[i] = from[2 * i];
        for (int i = 0; i < count; i++) even[i] = from[(2 * i) + Reach];
        ref float odds = ref MemoryMarshal.GetArrayDataReference(_odd);
        ref float evens = ref MemoryMarshal.GetArrayDataReference(_even);
        int m = 0;
        for (; m + Vector<float>.Count <= count; m += Vector<float>.Count)
        {
            Vector<float> sum = Load(ref evens, m) * 0.5f;
            for (int pair = 0; pair < Pairs; pair++)
                sum += (Load(ref odds, m + Pairs + pair) + Load(ref odds, m + Pairs - 1 - pair)) * Taps[pair];
            sum.CopyTo(to[m..]);
        }
        for (; m < count; m++)
        {
            float sum = _even[m] * 0.5f;
            for (int pair = 0; pair < Pairs; pair++) sum += (_odd[m + Pairs + pair] + _odd[m + Pairs - 1 - pair]) * Taps[pair];
            to[m] = sum;
        }
    }

    private static Vector<float> Load(ref float start, int index) =>
        Vector.LoadUnsafe(ref start, (nuint)index);

    private static float[] MakeTaps()
    {
        var taps = new double[Pairs];
        double sum = 0;
        for (int pair = 0; pair < Pairs; pair++)
        {
            int j = (2 * pair) + 1;
            taps[pair] = 0.5 * Kaiser.Sinc(0.5 * j) * Kaiser.Weight(j / (Reach + 1.0), Beta);
            sum += 2 * taps[pair];
        }
        return Array.ConvertAll(taps, tap => (float)(tap * 0.5 / sum));       // unity for a constant, half of it from the centre
    }
}
