using System.Collections.Immutable;
using OilWatch.Pressure;

namespace OilWatch.Vibration;

/// <summary>The healthy level of vibration over engine speed, learned as readings come.</summary>
/// <remarks>
/// A node each 100 rpm, under power and on the overrun apart, each the median of the logarithm of its first readings: multiplicative noise becomes even and a kerb
/// strike is one reading of many. What all the other nodes have grown by since they were learned is taken off a reading before a node learns it, so that a speed that is first
/// visited late in the run is learned as it was.
/// </remarks>
internal sealed class LevelModel
{
    public const double StepRpm = 100;
    public const int Steps = 161;
    public const int MostReadings = 48;
    private const int FewestReadings = 8;
    private const int EnoughReadings = 12;
    private const double BetweenReadingsS = 0.1;
    private const double UnknownSpread = 0.15;         // natural log; until a node has a dozen readings
    private const double LeastSpread = 0.04;
    private readonly int _most;
    private readonly float[] _readings;
    private readonly Node[] _nodes = new Node[2 * Steps];

    /// <param name="baseline">Healthy levels learned before, or empty to learn them from this run.</param>
    /// <param name="mostReadings">The most readings a node learns from, at most <see cref="MostReadings"/>.</param>
    public LevelModel(ImmutableArray<HealthyLevel> baseline, int mostReadings = MostReadings)
    {
        _most = mostReadings;
        _readings = new float[2 * Steps * mostReadings];
        if (baseline.IsDefaultOrEmpty) return;
        foreach (HealthyLevel level in baseline)
        {
            int place = PlaceOf(level.SpeedRpm, level.UnderPower);
            if (place < 0 || !(level.Level > 0 && double.IsFinite(level.Level) && level.SpreadRatio >= 1 && double.IsFinite(level.SpreadRatio))) continue;
            _nodes[place] = new Node
            {
                Count = mostReadings,
                Log = Math.Log(level.Level),
                Spread = Math.Clamp(Math.Log(level.SpreadRatio), LeastSpread, 1),
            };
        }
    }

    /// <summary>What is known of the healthy level at an engine speed.</summary>
    /// <param name="Log">Natural logarithm of the level, g; NaN when not known.</param>
    /// <param name="Spread">One standard deviation of a reading about it, natural log.</param>
    /// <param name="Error">One standard error of <paramref name="Log"/>.</param>
    /// <param name="PerRpm">How steep it is there, natural log a rpm, without its sign.</param>
    public readonly record struct Healthy(double Log, double Spread, double Error, double PerRpm = 0)
    {
        public bool IsKnown => !double.IsNaN(Log);
    }

    public Healthy At(double speedRpm, bool underPower)
    {
        double place = speedRpm / StepRpm;
        int below = (int)place;
        if (below < 0 || below + 1 >= Steps) return new Healthy(double.NaN, double.NaN, double.NaN);
        double share = place - below;
        ref readonly Node low = ref _nodes[Index(below, underPower)];
        ref readonly Node high = ref _nodes[Index(below + 1, underPower)];
        bool hasLow = low.Count >= FewestReadings;
        bool hasHigh = high.Count >= FewestReadings;
        if (hasLow && hasHigh)
        {
            double spread = Math.Max(low.Spread, high.Spread);
            double readings = ((1 - share) * low.Count) + (share * high.Count);
            return new Healthy(low.Log + (share * (high.Log - low.Log)), spread, ErrorOf(spread, readings), Math.Abs(high.Log - low.Log) / StepRpm);
        }
        // A node alone stands for half a step on either side of it.
        if (hasLow && share <= 0.5) return new Healthy(low.Log, low.Spread, ErrorOf(low.Spread, low.Count));
        if (hasHigh && share >= 0.5) return new Healthy(high.Log, high.Spread, ErrorOf(high.Spread, high.Count));
        return new Healthy(double.NaN, double.NaN, double.NaN);
    }

    /// <summary>Takes a reading into the node nearest to its engine speed, unless that has learned enough.</summary>
    /// <param name="at">When.</param>
    /// <param name="speedRpm">Engine speed.</param>
    /// <param name="underPower">Under power or on the overrun.</param>
    /// <param name="log">Natural logarithm of the level, what has grown taken off.</param>
    /// <param name="early">True while every node learns; later only those that know too little.</param>
    public void Learn(LogTime at, double speedRpm, bool underPower, double log, bool early)
    {
        int index = PlaceOf(speedRpm, underPower);
        if (index < 0) return;
        ref Node node = ref _nodes[index];
        if (node.Count >= (early ? _most : EnoughReadings)) return;
        if (node.Count > 0 && at.SecondsSince(node.LastAt) < BetweenReadingsS) return;
        node.LastAt = at;
        _readings[(index * _most) + node.Count++] = (float)log;
        Settle(index, ref node);
    }

    public ImmutableArray<HealthyLevel> Levels()
    {
        var levels = ImmutableArray.CreateBuilder<HealthyLevel>();
        foreach (bool underPower in (ReadOnlySpan<bool>)[true, false])
        {
            for (int step = 0; step < Steps; step++)
            {
                ref readonly Node node = ref _nodes[Index(step, underPower)];
                if (node.Count >= FewestReadings)
                    levels.Add(new HealthyLevel(step * StepRpm, underPower, Math.Exp(node.Log), Math.Exp(node.Spread), node.Count));
            }
        }
        return levels.ToImmutable();
    }

    private void Settle(int index, ref Node node)
    {
        Span<double> sorted = stackalloc double[MostReadings];
        sorted = sorted[..node.Count];
        for (int i = 0; i < sorted.Length; i++) sorted[i] = _readings[(index * _most) + i];
        node.Log = Robust.Quantile(sorted, 0.5);
        for (int i = 0; i < sorted.Length; i++) sorted[i] = Math.Abs(sorted[i] - node.Log);
        double spread = Robust.MadToSigma * Robust.Quantile(sorted, 0.5);
        node.Spread = Math.Clamp(node.Count < 12 ? Math.Max(spread, UnknownSpread) : spread, LeastSpread, 1);
    }

    // Readings a tenth of a second apart are alike: three of them count as one. The median's error is 1.25 times the mean's.
    private static double ErrorOf(double spread, double readings) => 1.25 * spread / Math.Sqrt(readings / 3);

    private static int PlaceOf(double speedRpm, bool underPower)
    {
        double step = Math.Round(speedRpm / StepRpm);
        return step is >= 0 and < Steps ? Index((int)step, underPower) : -1;
    }

    private static int Index(int step, bool underPower) => underPower ? step : Steps + step;

    private struct Node
    {
        public int Count;
        public LogTime LastAt;
        public double Log;
        public double Spread;
    }
}
