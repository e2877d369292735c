using System.Numerics;

namespace OilWatch.Proof.Statistics;

/// <summary>Random numbers that are the same for the same seed on every machine and runtime.</summary>
/// <remarks>
/// Generator xoshiro256** filled by SplitMix64 (D. Blackman, S. Vigna, ACM Trans. Math. Softw. 47 (2021) 36); written here so that results do not change with the
/// runtime's own generator. Normal by the polar method (G. Marsaglia, T. A. Bray, 1964); gamma by G. Marsaglia, W. W. Tsang, ACM Trans. Math. Softw. 26 (2000) 363.
/// Not for secrets.
/// </remarks>
public sealed class SeededRandom
{
    private ulong _a;
    private ulong _b;
    private ulong _c;
    private ulong _d;
    private double _spare = double.NaN;

    /// <summary>Starts the sequence that belongs to a seed.</summary>
    /// <param name="seed">Any number.</param>
    public SeededRandom(ulong seed)
    {
        _a = Fill(ref seed);
        _b = Fill(ref seed);
        _c = Fill(ref seed);
        _d = Fill(ref seed);
    }

    /// <summary>The next 64 bits.</summary>
    public ulong NextBits()
    {
        ulong result = BitOperations.RotateLeft(_b * 5, 7) * 9;
        ulong t = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= t;
        _d = BitOperations.RotateLeft(_d, 45);
        return result;
    }

    /// <summary>Evenly spread, 0 included, 1 not.</summary>
    public double NextShare() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>A whole number from 0 to one below the count.</summary>
    /// <param name="count">More than 0.</param>
    public int NextIndex(int count) => (int)Math.BigMul(NextBits(), (ulong)count, out _);

    /// <summary>Normal with mean 0 and standard deviation 1.</summary>
    public double NextNormal()
    {
        if (!double.IsNaN(_spare))
        {
            double kept = _spare;
            _spare = double.NaN;
            return kept;
        }
        while (true)
        {
            double u = (2 * NextShare()) - 1, v = (2 * NextShare()) - 1, s = (u * u) + (v * v);
            if (s is not (> 0 and < 1)) continue;
            double factor = Math.Sqrt(-2 * Math.Log(s) / s);
            _spare = v * factor;
            return u * factor;
        }
    }

    /// <summary>Gamma with scale 1.</summary>
    /// <param name="shape">0 or more; 0 gives 0.</param>
    public double NextGamma(double shape)
    {
        if (shape <= 0) return 0;
        // Below 1 the method needs shape + 1 and a power of a share; its logarithm keeps tiny shapes from underflowing early.
        if (shape < 1) return NextGamma(shape + 1) * Math.Exp(Math.Log(1 - NextShare()) / shape);
        double d = shape - (1.0 / 3), c = 1 / Math.Sqrt(9 * d);
        while (true)
        {
            double x = NextNormal(), v = 1 + (c * x);
            if (v <= 0) continue;
            v = v * v * v;
            double u = 1 - NextShare();
            if (Math.Log(u) < (0.5 * x * x) + d - (d * v) + (d * Math.Log(v))) return d * v;
        }
    }

    private static ulong Fill(ref ulong state)
    {
        state += 0x9E3779B97F4A7C15;
        ulong z = state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
