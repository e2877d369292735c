namespace OilWatch.Pressure;

/// <summary>Finds the moment at which pressure fell for good and at once, at equal engine speed and with the oil as warm as before: a relief valve that stuck, a pump that broke.</summary>
/// <remarks>
/// A model of the whole run buys such a fall with temperature, since the oil is hotter after it than before, if only by a little. So the calm readings shortly before and shortly after a moment
/// are held against each other, speed by speed, without any model. Oil that warms up goes down over minutes, and an uncovered pickup comes back.
/// </remarks>
internal static class SuddenFall
{
    private const double StepS = 2;
    private const double WindowS = 30;
    private const double NearS = 20;
    private const double AroundS = 0.5;                  // of the moment itself
    private const double LaterS = 120;
    private const double SpeedStepRpm = 250;
    private const int Speeds = 48;
    private const double AboveRpm = 2000;
    private const double LongestSlopeRpmS = 2500;
    private const int LeastOfSpeed = 4;
    private const int MostOfSpeed = 20;
    private const int LeastSpeeds = 3;
    private const double LeastFall = 0.08;               // of the logarithm of pressure: healthy engines reach 0.04
    private const double LeastBlindFall = 0.25;
    private const double LargestThinning = 0.12;         // of the logarithm of viscosity: four degrees
    private const double ViscosityPower = 0.9;
    private const double AtOnceShare = 0.7;
    private const double BeforeShare = 0.3;
    private const double StaysShare = 0.7;

    /// <summary>How many of the readings came before it; 0 where there is none.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="lag">Which of <see cref="SpeedLags"/> fits.</param>
    public static int In(ReadOnlySpan<PressureSample> samples, int lag)
    {
        var calm = new List<Reading>(samples.Length / 2);
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[lag];
            if (sample.Calm && speed >= AboveRpm && sample.PressureKpa > 1 && Math.Abs(sample.SlopeRpmS) <= LongestSlopeRpmS)
                calm.Add(new Reading(sample.AtS, Math.Min((int)(speed / SpeedStepRpm), Speeds - 1), Math.Log(sample.PressureKpa), Math.Log(sample.ViscosityRatio)));
        }
        if (calm.Count == 0) return 0;
        ReadOnlySpan<Reading> readings = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(calm);
        double deepest = 0, atS = 0;
        for (double at = readings[0].AtS + WindowS; at < readings[^1].AtS - WindowS; at += StepS)
        {
            double fall = Fall(readings, at - WindowS, at - AroundS, at + AroundS, at + WindowS);
            if (fall > deepest) (deepest, atS) = (fall, at);
        }
        // Without a temperature a warm-up looks the same.
        if (deepest < (double.IsNaN(readings[^1].Thickness) ? LeastBlindFall : LeastFall)) return 0;
        // The wide windows say that it fell, narrow ones when.
        double steepest = 0;
        for (double at = atS - WindowS, end = atS + WindowS; at <= end; at += 0.5 * StepS)
        {
            double fall = Fall(readings, at - NearS, at - AroundS, at + AroundS, at + NearS);
            if (fall > steepest) (steepest, atS) = (fall, at);
        }
        if (steepest < AtOnceShare * deepest
            || Fall(readings, atS - WindowS - NearS, atS - NearS, atS - NearS, atS - AroundS) > BeforeShare * deepest
            || !(Fall(readings, atS - WindowS, atS - AroundS, atS + WindowS, atS + LaterS, ofAnyOil: true) >= StaysShare * deepest)) return 0;
        int count = 0;
        while (count < samples.Length && samples[count].AtS < atS - StepS) count++;
        return count;
    }

    /// <summary>How much lower the logarithm of pressure is in a later window than in an earlier one at equal speed, over the speeds that both have; NaN where they cannot be compared.</summary>
    private static double Fall(ReadOnlySpan<Reading> readings, double fromS, double toS, double laterFromS, double laterToS, bool ofAnyOil = false)
    {
        Span<Sum> before = stackalloc Sum[Speeds], after = stackalloc Sum[Speeds];
        before.Clear();
        after.Clear();
        Gather(readings, fromS, toS, before);
        Gather(readings, laterFromS, laterToS, after);
        Span<(double Fall, double Weight)> falls = stackalloc (double, double)[Speeds];
        double thinning = 0, weights = 0;
        int speeds = 0;
        for (int i = 0; i < Speeds; i++)
        {
            int least = Math.Min(before[i].Count, after[i].Count);
            if (least < LeastOfSpeed) continue;
            double weight = Math.Min(least, MostOfSpeed);
            falls[speeds++] = (before[i].Pressure - after[i].Pressure, weight);
            weights += weight;
            thinning += weight * (before[i].Thickness - after[i].Thickness);
        }
        if (speeds < LeastSpeeds || (!ofAnyOil && Math.Abs(thinning / weights) > LargestThinning)) return double.NaN;
        // A valve that sticks open takes more at low speeds, a pump that breaks more at high ones: the half that fell most counts.
        falls[..speeds].Sort(static (one, other) => other.Fall.CompareTo(one.Fall));
        double fall = 0, counted = 0;
        for (int i = 0; i < speeds && counted < 0.5 * weights; i++)
        {
            fall += falls[i].Fall * falls[i].Weight;
            counted += falls[i].Weight;
        }
        // What thinner oil takes at most; where its temperature is not known, nothing is said of it.
        return (fall / counted) - (double.IsNaN(thinning) ? 0 : ViscosityPower * Math.Max(0, thinning / weights));
    }

    private static void Gather(ReadOnlySpan<Reading> readings, double fromS, double toS, Span<Sum> sums)
    {
        for (int i = TimeSearch.From(readings, fromS, static reading => reading.AtS); i < readings.Length && readings[i].AtS < toS; i++) sums[readings[i].Speed].Add(in readings[i]);
    }

    private readonly record struct Reading(float AtS, int Speed, double Pressure, double Thickness);

    /// <summary>Means over the readings of one speed.</summary>
    private struct Sum
    {
        private double _pressure;
        private double _thickness;

        public int Count;

        public readonly double Pressure => _pressure / Count;

        public readonly double Thickness => _thickness / Count;

        public void Add(in Reading reading)
        {
            Count++;
            _pressure += reading.Pressure;
            _thickness += reading.Thickness;
        }
    }
}
