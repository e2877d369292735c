using OilWatch.Frames;

namespace OilWatch.Pressure;

/// <summary>Finds, once a run is over, where oil pressure read wrong by a constant for a while: it leapt within one reading, stayed as far off at every engine speed, and leapt back as far.</summary>
/// <remarks>
/// At 10 Hz a leap is over before the next reading, lag or no lag, so its shape says nothing. But what a lost pump or an uncovered pickup takes is a share of what the engine would have at its
/// speed, and what a bad connection adds or takes is a voltage: over a range of speeds the one scales with healthy pressure and the other does not.
/// </remarks>
internal static class LeapStretches
{
    private const double LongestIntervalS = 0.16;
    private const double LeastS = 1;
    private const double LongestS = 90;
    private const int Beside = 6;                        // readings before and after that must be healthy
    private const double HealthyShare = 0.06;
    private const double HealthySpreads = 3;
    private const double EdgeShare = 0.2;                // of the leap: what may be left over at its ends
    private const double AgreeShare = 0.12;              // of the leap: how far readings within lie from its middle in the mean
    private const double LeastRange = 0.06;              // of healthy pressure, within the stretch: with less a share and a constant look the same
    private const double ConstantShare = 0.5;            // how much nearer the readings must lie to a constant than to a share
    private const double SurelyLagS = 0.1;               // a longer lag than this is not relied on
    private const double LeftShare = 0.5;                // of what a lag would still have to bring
    private const double NoiseShare = 0.4;               // of the same: noise may not decide
    private const double TooMuchShare = 0.25;            // of healthy pressure: no loss adds to it, so a share is out of the question
    private const double TooMuchLeastS = 0.35;           // five readings at 10 Hz
    private const double LowestShare = 0.1;
    private const double HighestShare = 0.9;

    /// <summary>Looks for them.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="model">Healthy pressure of the whole run.</param>
    /// <param name="leastKpa">Smallest leap that is one, kPa.</param>
    public static List<KnownLeap> In(ReadOnlySpan<PressureSample> samples, HealthyPressure model, double leastKpa)
    {
        var found = new List<KnownLeap>();
        var expected = new double[samples.Length];
        var over = new double[samples.Length];
        for (int i = 0; i < samples.Length; i++)
        {
            ref readonly PressureSample sample = ref samples[i];
            expected[i] = model.Steady(sample.SpeedRpm[model.Lag], sample.ViscosityRatio, model.Gain!.At(sample.AtS));
            over[i] = sample.PressureKpa - expected[i];
        }
        for (int from = Beside; from < samples.Length - Beside; from++)
        {
            if (!Leaps(samples, over, from, leastKpa) || !IsHealthy(over, expected, from - Beside, from, model)) continue;
            double leap = over[from] - over[from - 1];
            for (int to = from + 1; to < samples.Length - Beside && samples[to].AtS - samples[from].AtS <= LongestS; to++)
            {
                double back = over[to] - over[to - 1];
                if (!Leaps(samples, over, to, leastKpa) || !(Math.Abs(back + leap) < 2 * EdgeShare * Math.Abs(leap)) || !IsHealthy(over, expected, to, to + Beside, model)) continue;
                double intervalS = Math.Max(samples[from].AtS - samples[from - 1].AtS, samples[to].AtS - samples[to - 1].AtS);
                if (!IsConstant(over.AsSpan(from, to - from), expected.AsSpan(from, to - from), over[to], intervalS, SpeedLags.TimeS(model.Lag), out double constant)
                    || samples[to - 1].AtS - samples[from].AtS < (constant > TooMuchShare * expected[from] ? TooMuchLeastS : LeastS) || Math.Abs(constant) < leastKpa) break;
                found.Add(new KnownLeap(Middle(in samples[from - 1], in samples[from]), Middle(in samples[to - 1], in samples[to]), constant));
                from = to;
                break;
            }
        }
        return found;
    }

    /// <summary>The readings outside all of them.</summary>
    public static PressureSample[] Without(ReadOnlySpan<PressureSample> samples, IReadOnlyList<KnownLeap> leaps)
    {
        var kept = new List<PressureSample>(samples.Length);
        int next = 0;
        foreach (ref readonly PressureSample sample in samples)
        {
            while (next < leaps.Count && sample.AtS > leaps[next].To.Seconds) next++;
            if (next == leaps.Count || sample.AtS < leaps[next].From.Seconds) kept.Add(sample);
        }
        return [.. kept];
    }

    private static LogTime Middle(in PressureSample before, in PressureSample after) => LogTime.FromSeconds(0.5 * ((double)before.AtS + after.AtS));

    private static bool Leaps(ReadOnlySpan<PressureSample> samples, double[] over, int at, double leastKpa) =>
        Math.Abs(over[at] - over[at - 1]) >= (1 - EdgeShare) * leastKpa && samples[at].AtS - samples[at - 1].AtS <= LongestIntervalS;

    private static bool IsHealthy(double[] over, double[] expected, int from, int to, HealthyPressure model)
    {
        Span<double> apart = stackalloc double[Beside];
        for (int i = from; i < to; i++) apart[i - from] = over[i];
        return Math.Abs(Robust.Quantile(apart, 0.5)) <= Math.Max(HealthyShare * expected[from], HealthySpreads * model.SpreadKpa);
    }

    private static bool IsConstant(ReadOnlySpan<double> over, ReadOnlySpan<double> expected, double leftAfter, double intervalS, double lagS, out double constant)
    {
        double[] work = over.ToArray();
        constant = Robust.Quantile(work, 0.5);
        double size = Math.Abs(constant);
        if (Math.Abs(over[0] - constant) > EdgeShare * size || Math.Abs(over[^1] - constant) > EdgeShare * size) return false;
        for (int i = 0; i < work.Length; i++) work[i] = over[i] / expected[i];
        double share = Robust.Quantile(work, 0.5), fromShare = 0, fromConstant = 0;
        for (int i = 0; i < work.Length; i++)
        {
            fromShare += Math.Abs(over[i] - (share * expected[i])) / work.Length;
            fromConstant += Math.Abs(over[i] - constant) / work.Length;
            work[i] = expected[i];
        }
        if (fromConstant > AgreeShare * size) return false;
        double low = Robust.Quantile(work, LowestShare), high = Robust.Quantile(work, HighestShare), middle = Robust.Quantile(work, 0.5);
        if (constant > TooMuchShare * middle || (high - low >= LeastRange * middle && fromConstant <= ConstantShare * fromShare)) return true;
        // At one engine speed a share and a constant look the same. Then the run's own lag tells: nothing that comes through it is over within a reading, and back within a reading.
        double toCome = Math.Exp(-intervalS / Math.Min(lagS, SurelyLagS)), left = 0.5 * ((Math.Abs(constant - over[0]) + Math.Abs(leftAfter)) / size);
        return lagS > 0 && left < LeftShare * toCome && fromConstant < NoiseShare * toCome * size;
    }
}
