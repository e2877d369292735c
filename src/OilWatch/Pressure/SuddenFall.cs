using System.Runtime.InteropServices;

namespace OilWatch.Pressure;

/// <summary>Finds the moment at which pressure fell at once and for good while neither engine speed nor the oil explain it: a relief valve that stuck, a pickup or a pump that broke.</summary>
/// <remarks>
/// A model of the whole run buys such a fall with temperature, since the oil is hotter after it than before. So the readings before and after a moment are held against each other without any
/// model, at equal <em>fill</em>, which is speed times a power of viscosity: clearances let through what the pump delivers at a pressure that goes with it, and the relief valve opens at one value of it
/// whether speed or thick oil bring it about. What the power is nobody knows beforehand, so the fall must show with a low, a middle and a high one. Loaded readings count too, or there would be too few:
/// of those of one fill a high quantile is taken, which an uncovered pickup hardly touches unless it sucks air most of the time. A warm-up goes down over minutes, and an uncovered pickup comes back.
/// </remarks>
internal sealed class SuddenFall
{
    private const double StepS = 15;
    private const double FineStepS = 5;
    private const double WindowS = 90;                   // about a lap, so that both sides hold the same speeds
    private const double NearS = 30;
    private const double NearStepS = 2.5;
    private const double AroundS = 1;                    // of the moment itself
    private const double LaterS = 360;
    private const double AboveRpm = 1800;
    private const double LongestSlopeRpmS = 2500;
    private const double LeastFall = 0.07;               // of the logarithm of pressure: healthy engines reach 0.05
    private const double LeastBlindFall = 0.15;
    private const double LargestThinning = 0.4;          // of the logarithm of viscosity: about thirteen degrees
    private const double AtOnceShare = 0.7;              // a steady fall gives a third to a half of the wide windows' in the narrow ones
    private const double StarvedShare = 1.5;             // more than the wide windows': a pickup that sucks air for some of the time
    private const double BeforeShare = 0.45;
    private const double BeforeBlindShare = 0.25;
    private const double StaysShare = 0.6;
    private const double BelowTopShare = 0.85;           // of the highest speed driven: a pump that falls off in hot oil does so above
    private const double NotOnlyTopShare = 0.5;
    private static readonly double[] Powers = [0.5, 0.75, 1];

    private readonly bool _blind;
    private readonly FillSeries[] _series;
    private readonly List<(double AtS, double Sum)> _thickness = [];

    private SuddenFall(ReadOnlySpan<PressureSample> samples, int lag, bool blind)
    {
        _blind = blind;
        _series = new FillSeries[blind ? 1 : Powers.Length];
        for (int i = 0; i < _series.Length; i++) _series[i] = new FillSeries();
        double topRpm = 0, sum = 0;
        foreach (ref readonly PressureSample sample in samples) topRpm = Math.Max(topRpm, sample.SpeedRpm[lag]);
        foreach (ref readonly PressureSample sample in samples)
        {
            double rpm = sample.SpeedRpm[lag], thickness = blind ? 0 : Math.Log(sample.ViscosityRatio);
            if (!(rpm >= AboveRpm) || !(sample.PressureKpa > 1) || Math.Abs(sample.SlopeRpmS) > LongestSlopeRpmS || double.IsNaN(thickness)) continue;
            for (int i = 0; i < _series.Length; i++)
                _series[i].Add(sample.AtS, Math.Log(rpm) + (Powers[i] * thickness), Math.Log(sample.PressureKpa), rpm <= BelowTopShare * topRpm);
            _thickness.Add((sample.AtS, sum += thickness));
        }
    }

    /// <summary>How many of the readings came before it; 0 where there is none.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="lag">Which of <see cref="SpeedLags"/> fits.</param>
    /// <param name="blind">True where the oil's temperature is not known.</param>
    public static int In(ReadOnlySpan<PressureSample> samples, int lag, bool blind)
    {
        if (samples.IsEmpty || new SuddenFall(samples, lag, blind).At(samples[0].AtS, samples[^1].AtS) is not { } atS) return 0;
        return TimeSearch.From(samples, atS - NearStepS, static sample => sample.AtS);
    }

    private double? At(double firstS, double lastS)
    {
        (double deepest, double atS) = Deepest(firstS + NearS, lastS - NearS, StepS, WindowS);
        (deepest, atS) = Deepest(atS - StepS, atS + StepS, FineStepS, WindowS);
        if (deepest < (_blind ? LeastBlindFall : LeastFall)) return null;
        // A fall of the top alone is not looked for here; where slow running cannot be compared nothing is said of it.
        if (Fall(atS - WindowS, atS - AroundS, atS + AroundS, atS + WindowS, Choice.BelowTop) < NotOnlyTopShare * deepest) return null;
        // The wide windows say that it fell, narrow ones when; the wide ones about that moment must agree, or it was a corner that starved.
        (double steepest, double sinceS) = Deepest(atS - WindowS, atS + WindowS, NearStepS, NearS);
        if (steepest < AtOnceShare * deepest || steepest > StarvedShare * deepest
            || Fall(sinceS - WindowS, sinceS - AroundS, sinceS + AroundS, sinceS + WindowS, Choice.All) < AtOnceShare * deepest) return null;
        if (Fall(sinceS - WindowS - NearS, sinceS - NearS, sinceS - NearS, sinceS - AroundS, Choice.Few) > (_blind ? BeforeBlindShare : BeforeShare) * deepest) return null;
        return Fall(sinceS - WindowS, sinceS - AroundS, sinceS + NearS, sinceS + LaterS, Choice.AnyOil) >= StaysShare * deepest ? sinceS : null;
    }

    private (double Fall, double AtS) Deepest(double fromS, double toS, double stepS, double windowS)
    {
        (double Fall, double AtS) deepest = (0, fromS);
        Choice choice = windowS < WindowS ? Choice.Few : Choice.All;
        for (double at = fromS; at <= toS; at += stepS)
            if (Fall(at - windowS, at - AroundS, at + AroundS, at + windowS, choice) is var fall && fall > deepest.Fall) deepest = (fall, at);
        return deepest;
    }

    /// <summary>How much lower the logarithm of pressure is in a later window than in an earlier one at equal fill, with the power that makes it least; NaN where they cannot be compared.</summary>
    private double Fall(double fromS, double toS, double laterFromS, double laterToS, Choice choice)
    {
        if (choice != Choice.AnyOil && !(Math.Abs(Thickness(fromS, toS) - Thickness(laterFromS, laterToS)) <= LargestThinning)) return double.NaN;
        double least = double.PositiveInfinity;
        foreach (FillSeries series in _series) least = Math.Min(least, series.Fall(fromS, toS, laterFromS, laterToS, choice));
        return least;
    }

    /// <summary>Mean logarithm of how thick the oil was; NaN where there are no readings.</summary>
    private double Thickness(double fromS, double toS)
    {
        ReadOnlySpan<(double AtS, double Sum)> all = CollectionsMarshal.AsSpan(_thickness);
        int from = TimeSearch.From(all, fromS, static reading => reading.AtS), to = TimeSearch.From(all, toS, static reading => reading.AtS);
        return to == from ? double.NaN : (all[to - 1].Sum - (from == 0 ? 0 : all[from - 1].Sum)) / (to - from);
    }

    /// <summary>Which readings of two windows are compared.</summary>
    private enum Choice
    {
        All,
        BelowTop,
        Few,
        AnyOil,
    }

    /// <summary>The readings by fill, each in order of time.</summary>
    private sealed class FillSeries
    {
        private const double LeastFill = 6.5;            // logarithms
        private const double FillStep = 0.11;
        private const int Fills = 72;
        private const double FillPower = 0.5;            // evens out where within a step of the fill the readings lie; common practice, no source
        private const double HealthyQuantile = 0.7;
        private const int LeastOfFill = 6;
        private const int FewOfFill = 4;
        private const int MostOfFill = 40;
        private const int LeastFills = 3;

        private readonly List<(double AtS, double Pressure, bool BelowTop)>[] _of = new List<(double, double, bool)>[Fills];
        private double[] _room = [];

        public FillSeries()
        {
            for (int i = 0; i < Fills; i++) _of[i] = [];
        }

        public void Add(double atS, double fill, double pressure, bool belowTop)
        {
            int step = Math.Clamp((int)((fill - LeastFill) / FillStep), 0, Fills - 1);
            _of[step].Add((atS, pressure - (FillPower * (fill - LeastFill - ((step + 0.5) * FillStep))), belowTop));
        }

        /// <summary>How much lower the logarithm of pressure is later, over the fills that both windows have; NaN where they have too few.</summary>
        public double Fall(double fromS, double toS, double laterFromS, double laterToS, Choice choice)
        {
            Span<(double Fall, double Weight)> falls = stackalloc (double, double)[Fills];
            double weights = 0;
            int count = 0;
            for (int i = 0; i < Fills; i++)
            {
                if (Between(i, fromS, toS, choice) is not { } before || Between(i, laterFromS, laterToS, choice) is not { } after) continue;
                double weight = Math.Min(Math.Min(before.Count, after.Count), MostOfFill);
                falls[count++] = (before.Pressure - after.Pressure, weight);
                weights += weight;
            }
            if (count < (choice == Choice.Few ? LeastFills - 1 : LeastFills)) return double.NaN;
            // A valve that sticks open takes more at low speeds, a pump that breaks more at high ones: the half that fell most counts.
            falls[..count].Sort(static (one, other) => other.Fall.CompareTo(one.Fall));
            double fall = 0, counted = 0;
            for (int i = 0; i < count && counted < 0.5 * weights; i++)
            {
                fall += falls[i].Fall * falls[i].Weight;
                counted += falls[i].Weight;
            }
            return fall / counted;
        }

        private (double Pressure, int Count)? Between(int fill, double fromS, double toS, Choice choice)
        {
            ReadOnlySpan<(double AtS, double Pressure, bool BelowTop)> all = CollectionsMarshal.AsSpan(_of[fill]);
            int from = TimeSearch.From(all, fromS, static reading => reading.AtS), to = TimeSearch.From(all, toS, static reading => reading.AtS), least = choice == Choice.Few ? FewOfFill : LeastOfFill;
            if (to - from < least) return null;
            if (_room.Length < to - from) _room = new double[2 * (to - from)];
            int count = 0;
            foreach ((_, double pressure, bool belowTop) in all[from..to])
                if (belowTop || choice != Choice.BelowTop) _room[count++] = pressure;
            return count < least ? null : (Robust.Quantile(_room.AsSpan(0, count), HealthyQuantile), count);
        }
    }
}
