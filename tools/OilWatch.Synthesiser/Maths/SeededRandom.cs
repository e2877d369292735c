namespace OilWatch.Synthesiser.Maths;

/// <summary>Random numbers that are the same on every machine and runtime for a seed and a stream name.</summary>
/// <remarks>
/// Generator: xoshiro256** with its state filled by SplitMix64 (D. Blackman, S. Vigna, "Scrambled linear
/// pseudorandom number generators", ACM TOMS 47 (2021)). Each part of the model draws from a stream of its own name,
/// so that a change in one part does not move the numbers of another.
/// </remarks>
public sealed class SeededRandom
{
    private ulong _s0;
    private ulong _s1;
    private ulong _s2;
    private ulong _s3;
    private double _spare = double.NaN;

    /// <summary>A stream of a seed.</summary>
    /// <param name="seed">Any number.</param>
    /// <param name="stream">Name of the stream; other names give independent numbers.</param>
    public SeededRandom(ulong seed, string stream)
    {
        ulong state = seed ^ Hash(stream);
        _s0 = SplitMix(ref state);
        _s1 = SplitMix(ref state);
        _s2 = SplitMix(ref state);
        _s3 = SplitMix(ref state);
    }

    /// <summary>The next 64 random bits.</summary>
    public ulong NextBits()
    {
        ulong result = ulong.RotateLeft(_s1 * 5, 7) * 9;
        ulong shifted = _s1 << 17;
        _s2 ^= _s0;
        _s3 ^= _s1;
        _s1 ^= _s2;
        _s0 ^= _s3;
        _s2 ^= shifted;
        _s3 = ulong.RotateLeft(_s3, 45);
        return result;
    }

    /// <summary>Evenly spread in [0, 1).</summary>
    public double Unit() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Evenly spread between two values.</summary>
    public double Range(double from, double to) => from + ((to - from) * Unit());

    /// <summary>A whole number from <paramref name="from"/> to <paramref name="to"/>, both included.</summary>
    public int Whole(int from, int to) => from + (int)(Unit() * (to - from + 1));

    /// <summary>True with a probability of 0 to 1.</summary>
    public bool Chance(double probability) => Unit() < probability;

    /// <summary>One of the choices.</summary>
    public T Pick<T>(IReadOnlyList<T> choices) => choices[Whole(0, choices.Count - 1)];

    /// <summary>Normal, mean 0, standard deviation 1 (Marsaglia's polar method).</summary>
    public double Normal()
    {
        if (!double.IsNaN(_spare))
        {
            double kept = _spare;
            _spare = double.NaN;
            return kept;
        }

        double u, v, s;
        do
        {
            u = Range(-1, 1);
            v = Range(-1, 1);
            s = (u * u) + (v * v);
        }
        while (s is >= 1 or 0);

        double factor = Math.Sqrt(-2 * Math.Log(s) / s);
        _spare = v * factor;
        return u * factor;
    }

    private static ulong SplitMix(ref ulong state)
    {
        ulong z = state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    // FNV-1a, 64 bits: string.GetHashCode differs from process to process.
    private static ulong Hash(string text)
    {
        ulong hash = 0xCBF29CE484222325;
        foreach (char c in text) hash = (hash ^ c) * 0x100000001B3;
        return hash;
    }
}
