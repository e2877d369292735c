using System.Runtime.InteropServices;

namespace OilWatch.Pressure;

/// <summary>Finds engine speeds at which pressure fell for good within a minute or two, with hardly any change of the oil: what came after is no example of healthy pressure.</summary>
/// <remarks>
/// A pump that begins to cavitate loses pressure at the top and nowhere else. A model of the whole run bends to it, the more so when the oil grows hotter meanwhile; a pump that
/// has always fallen off when hot does so as slowly as the oil heats up. So the readings of each speed are held against the curve in a window before and one after each moment,
/// and both against the same of lower speeds.
/// </remarks>
internal sealed class FallenSpeeds
{
    private const double SpeedStepRpm = 500;
    private const int Speeds = 32;
    private const double WindowS = 90;
    private const double StepS = 10;
    private const int LeastInWindow = 20;
    private const double LeastFall = 0.07;               // in the logarithm: well beyond what a healthy engine's readings of one speed stand apart
    private const double LargestThinning = 0.2;          // in the logarithm of viscosity: six or seven degrees
    private const double AboveRpm = 3000;
    private const double LongestSlopeRpmS = 2500;

    private readonly double[] _fallenAtS = new double[Speeds];

    private FallenSpeeds() => Array.Fill(_fallenAtS, double.PositiveInfinity);

    /// <summary>True when pressure fell at some speed.</summary>
    public bool Any { get; private set; }

    /// <summary>Looks for them.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="model">A model of the whole run.</param>
    public static FallenSpeeds In(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        var series = new Series[Speeds];
        for (int i = 0; i < Speeds; i++) series[i] = new Series();
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (!sample.Calm || speed < AboveRpm || Math.Abs(sample.SlopeRpmS) > LongestSlopeRpmS) continue;
            double gain = model.Gain!.At(sample.AtS), curve = model.Curve.At(speed, model.RatioOrOne(sample.ViscosityRatio), gain);
            if (curve < 20) continue;
            series[SpeedOf(speed)].Add(sample.AtS, Math.Log(Math.Max(sample.PressureKpa, 1) / curve), model.LogarithmOf(model.Thickness(sample.ViscosityRatio, gain)));
        }
        var found = new FallenSpeeds();
        for (int speed = 1; speed < Speeds; speed++) found.Look(speed, series);
        return found;
    }

    /// <summary>True when a reading comes from a speed at which pressure had fallen by then.</summary>
    public bool Holds(in PressureSample sample, int lag) => sample.AtS >= _fallenAtS[SpeedOf(sample.SpeedRpm[lag])];

    /// <summary>The readings that it does not hold.</summary>
    public PressureSample[] Without(ReadOnlySpan<PressureSample> samples, int lag)
    {
        var kept = new List<PressureSample>(samples.Length);
        foreach (ref readonly PressureSample sample in samples)
            if (!Holds(in sample, lag)) kept.Add(sample);
        return [.. kept];
    }

    private static int SpeedOf(double rpm) => Math.Clamp((int)(rpm / SpeedStepRpm), 0, Speeds - 1);

    private void Look(int speed, Series[] series)
    {
        Series own = series[speed];
        if (own.Count < 2 * LeastInWindow) return;
        double largest = 0, atS = 0;
        for (double middleS = own.FirstS + (WindowS / 4); middleS < own.LastS; middleS += StepS)
        {
            if (own.FallAt(middleS) is not { } fall || fall.Thinning > LargestThinning) continue;
            // What fell at every speed is the oil's or the fit's doing; the least of the lower speeds is what the top has not lost alone.
            double? lower = null;
            for (int i = 0; i < speed; i++)
                if (series[i].FallAt(middleS) is { } other) lower = Math.Min(other.Fall, lower ?? other.Fall);
            if (lower is null) continue;
            double more = fall.Fall - lower.Value;
            if (more > largest) (largest, atS) = (more, middleS);
        }
        if (largest < LeastFall || !own.Stays(atS, largest / 2)) return;
        Any = true;
        // It began before the middle of the fall, and higher speeds fall with it.
        for (int above = speed; above < Speeds; above++) _fallenAtS[above] = Math.Min(_fallenAtS[above], atS - (WindowS / 2));
    }

    /// <summary>The readings of one speed in order of time: the logarithms of pressure over the curve and of the oil's thickness.</summary>
    private sealed class Series
    {
        private readonly List<(double AtS, double Ratio, double Thickness)> _all = [];

        public int Count => _all.Count;

        public double FirstS => _all[0].AtS;

        public double LastS => _all[^1].AtS;

        public void Add(double atS, double ratio, double thickness) => _all.Add((atS, ratio, thickness));

        /// <summary>How much lower the readings after a moment lie than those before it; null where either are too few.</summary>
        public (double Fall, double Thinning)? FallAt(double middleS)
        {
            if (Middle(middleS - WindowS, middleS) is not { } before || Middle(middleS, middleS + WindowS) is not { } after) return null;
            return (before.Ratio - after.Ratio, Math.Abs(before.Thickness - after.Thickness));
        }

        /// <summary>True when the readings from a moment to the end stay below those before it.</summary>
        public bool Stays(double middleS, double least) =>
            Middle(middleS - WindowS, middleS) is { } before && Middle(middleS, double.PositiveInfinity) is { } after && before.Ratio - after.Ratio >= least;

        private (double Ratio, double Thickness)? Middle(double fromS, double toS)
        {
            ReadOnlySpan<(double AtS, double Ratio, double Thickness)> all = CollectionsMarshal.AsSpan(_all);
            int from = TimeSearch.From(all, fromS, static reading => reading.AtS), count = TimeSearch.From(all, toS, static reading => reading.AtS) - from;
            if (count < LeastInWindow) return null;
            var ratios = new double[count];
            double thickness = 0;
            for (int i = 0; i < count; i++)
            {
                ratios[i] = _all[from + i].Ratio;
                thickness += _all[from + i].Thickness;
            }
            return (Robust.Quantile(ratios, 0.5), thickness / count);
        }
    }
}
