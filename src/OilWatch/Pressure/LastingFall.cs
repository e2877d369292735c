using System.Runtime.InteropServices;

namespace OilWatch.Pressure;

/// <summary>Finds the moment from which pressure fell over some minutes and for good, by more than warmer oil can take: oil thinned by fuel, a pump that wears out.</summary>
/// <remarks>
/// A model of the whole run buys such a fall with temperature, since the oil mostly is hotter after it than before. So readings before and after a moment are held against each other without any model, at equal
/// engine speed, and what the oil's temperature may have done to them is taken off: laminar flow gives at most a power of 1 of viscosity, and on the relief plateau none, so that of all powers from 0 to a little over 1 the one
/// that leaves the least fall counts. A healthy engine that warms up or cools down rises by that measure. Readings under load count too, or there would be too few, but calm ones must say the same.
/// </remarks>
internal sealed class LastingFall
{
    private const double StepS = 15;
    private const double WindowS = 150;                  // more than a lap, so that both sides hold the same speeds
    private const double FallingS = 90;                  // between the windows
    private const double CalmWindowS = 300;
    private const double LeastBeforeS = 240;             // of running: in the first minutes the thermometer may be ahead of the oil in the galleries
    private const double LeastAfterS = 60;
    private const double AboveRpm = 1500;
    private const double LongestSlopeRpmS = 2000;
    private const double BelowTopShare = 0.8;            // of the highest speed driven: a pump that falls off in hot oil does so above
    private const double LeastFall = 0.15;               // of the logarithm of pressure
    private const double LeastCalmFall = 0.1;
    private const double BeganShare = 0.9;
    private const double StaysShare = 0.6;
    private const double BeforeShare = 0.3;

    private readonly SpeedSeries _all = new(0.7);        // a high quantile, which an uncovered pickup hardly touches
    private readonly SpeedSeries _calm = new(0.5);

    private LastingFall(ReadOnlySpan<PressureSample> samples, int lag)
    {
        double topRpm = 0;
        foreach (ref readonly PressureSample sample in samples) topRpm = Math.Max(topRpm, sample.SpeedRpm[lag]);
        foreach (ref readonly PressureSample sample in samples)
        {
            double rpm = sample.SpeedRpm[lag];
            if (!(rpm >= AboveRpm) || rpm > BelowTopShare * topRpm || !(sample.PressureKpa > 1) || !(sample.ViscosityRatio > 0) || Math.Abs(sample.SlopeRpmS) > LongestSlopeRpmS) continue;
            _all.Add(in sample, rpm);
            if (sample.Calm) _calm.Add(in sample, rpm);
        }
    }

    /// <summary>How many of the readings came before it; 0 where there is none.</summary>
    /// <param name="samples">What the run showed, in order of time, with the oil's temperature.</param>
    /// <param name="lag">Which of <see cref="SpeedLags"/> fits.</param>
    public static int In(ReadOnlySpan<PressureSample> samples, int lag)
    {
        if (samples.IsEmpty || new LastingFall(samples, lag).At(samples[0].AtS, samples[^1].AtS) is not { } atS) return 0;
        return TimeSearch.From(samples, atS, static sample => sample.AtS);
    }

    private double? At(double firstS, double lastS)
    {
        double deepest = 0, atS = firstS;
        for (double at = firstS + LeastBeforeS; at + FallingS + LeastAfterS <= lastS; at += StepS)
            if (FallAbout(at) is var fall && fall > deepest) (deepest, atS) = (fall, at);
        if (!(deepest >= LeastFall)) return null;
        // While the oil warms up the fall looks deepest after it began; what is half fallen already must not be taken for healthy.
        while (atS - StepS >= firstS + LeastBeforeS && FallAbout(atS - StepS) >= BeganShare * deepest) atS -= StepS;
        double laterS = atS + FallingS;
        if (!(_calm.Fall(atS - CalmWindowS, atS, laterS, laterS + CalmWindowS) >= LeastCalmFall)) return null;
        if (!(_all.Fall(atS - WindowS, atS, laterS, lastS) >= StaysShare * deepest) || _all.Fall(atS - WindowS, atS, laterS + WindowS, lastS) < StaysShare * deepest) return null;
        // What fell before already is on its way since the start, and what was healthy then is not known.
        return _all.Fall(firstS, atS - WindowS, atS - WindowS, atS) <= BeforeShare * deepest ? atS : null;
    }

    private double FallAbout(double atS) => _all.Fall(atS - WindowS, atS, atS + FallingS, atS + FallingS + WindowS);

    /// <summary>The readings by engine speed, each in order of time.</summary>
    private sealed class SpeedSeries(double quantile)
    {
        private const double SpeedStepRpm = 250;
        private const int Speeds = 64;
        private const double SpeedPower = 0.7;           // evens out where within a step of the speed the readings lie; common practice, no source
        private const double MostPower = 1.1;            // of viscosity: 1, and some for oil of another grade than the one assumed
        private const int LeastOfSpeed = 10;
        private const int MostOfSpeed = 60;
        private const int LeastSpeeds = 3;

        private readonly List<(double AtS, double Pressure, double Thickness)>?[] _of = new List<(double, double, double)>?[Speeds];
        private double[] _room = [];

        public void Add(in PressureSample sample, double rpm)
        {
            int speed = Math.Min((int)(rpm / SpeedStepRpm), Speeds - 1);
            double apart = Math.Log(rpm / ((speed + 0.5) * SpeedStepRpm));
            (_of[speed] ??= []).Add((sample.AtS, Math.Log(sample.PressureKpa) - (SpeedPower * apart), Math.Log(sample.ViscosityRatio)));
        }

        /// <summary>How much lower the logarithm of pressure is later than the oil's temperature explains, over the speeds that both windows have; NaN where they have too few.</summary>
        public double Fall(double fromS, double toS, double laterFromS, double laterToS)
        {
            Span<(double Fall, double Weight)> falls = stackalloc (double, double)[Speeds];
            double weights = 0;
            int count = 0;
            foreach (List<(double AtS, double Pressure, double Thickness)>? speed in _of)
            {
                if (speed is null || Between(speed, fromS, toS) is not { } before || Between(speed, laterFromS, laterToS) is not { } after) continue;
                double weight = Math.Min(Math.Min(before.Count, after.Count), MostOfSpeed), fall = before.Pressure - after.Pressure;
                falls[count++] = (Math.Min(fall, fall - (MostPower * (before.Thickness - after.Thickness))), weight);
                weights += weight;
            }
            if (count < LeastSpeeds) return double.NaN;
            // The middle one: where a pickup sucks air some speeds lie far below what they were, most do not.
            falls[..count].Sort(static (one, other) => other.Fall.CompareTo(one.Fall));
            double counted = 0;
            int middle = 0;
            while ((counted += falls[middle].Weight) < 0.5 * weights) middle++;
            return falls[middle].Fall;
        }

        private (double Pressure, double Thickness, int Count)? Between(List<(double AtS, double Pressure, double Thickness)> speed, double fromS, double toS)
        {
            ReadOnlySpan<(double AtS, double Pressure, double Thickness)> all = CollectionsMarshal.AsSpan(speed);
            int from = TimeSearch.From(all, fromS, static reading => reading.AtS), count = TimeSearch.From(all, toS, static reading => reading.AtS) - from;
            if (count < LeastOfSpeed) return null;
            if (_room.Length < count) _room = new double[2 * count];
            double thickness = 0;
            for (int i = 0; i < count; i++)
            {
                _room[i] = all[from + i].Pressure;
                thickness += all[from + i].Thickness;
            }
            return (Robust.Quantile(_room.AsSpan(0, count), quantile), thickness / count, count);
        }
    }
}
