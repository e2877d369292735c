namespace OilWatch.Tests.Detectors;

/// <summary>Independent normal deviates by the polar method, the same in every run (Marsaglia and Bray, SIAM Review 6 (1964) 260).</summary>
internal sealed class Gauss(int seed)
{
    private readonly Random _random = new(seed);
    private double _spare = double.NaN;

    public double Next()
    {
        if (double.IsFinite(_spare))
        {
            double kept = _spare;
            _spare = double.NaN;
            return kept;
        }

        while (true)
        {
            double x = (2 * _random.NextDouble()) - 1, y = (2 * _random.NextDouble()) - 1;
            double square = (x * x) + (y * y);
            if (square is >= 1 or 0) continue;
            double scale = Math.Sqrt(-2 * Math.Log(square) / square);
            _spare = y * scale;
            return x * scale;
        }
    }

    /// <summary>A uniform deviate in [0, 1).</summary>
    public double Unit() => _random.NextDouble();

    /// <summary>A whole number from 0 to one less than <paramref name="count"/>.</summary>
    public int Whole(int count) => _random.Next(count);
}
