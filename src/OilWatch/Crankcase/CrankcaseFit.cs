using OilWatch.Pressure;

namespace OilWatch.Crankcase;

/// <summary>Learns healthy crankcase pressure from a run that may hold a loss.</summary>
/// <remarks>
/// Medians by engine speed and throttle stand up to noise and to the moments after a lift, not to a loss that lasts for the rest of the run. So the run is cut into
/// parts in order of time, each is compared with all of it, and only the parts like the deepest one (on a wet sump: the lowest) are learned from: an engine
/// does not lose pressure in its crankcase by failing. A loss that was there from the very beginning cannot be seen in one run.
/// Where speeds of their own were driven while vacuum was lost, as on a last slow lap, all that was seen there is the loss: so each part is held against the healthy ones
/// before it too, also at speeds that these did not have, and what lies far from them is lost however usual it is.
/// </remarks>
internal static class CrankcaseFit
{
    private const int Parts = 8;
    private const int LeastInBin = 8;
    private const int LeastInPart = 40;
    private const double DeepShare = 0.9;              // the share of deepest vacuum that stands for a pump
    private const double DeepSide = 0.15;
    private const double LikeDeepest = 0.92;
    private const double LikeLowestKpa = 0.5;
    private const double LikeBefore = 0.85;            // at speeds that were seen before
    private const double LikeStraight = 0.6;           // at others, of a straight line towards ambient
    private const int EnoughAlike = 20;
    private const int Finer = 4;
    private const double LeastOfFastest = 0.8;
    private const double LeastSpreadKpa = 0.3;
    private const double FastRpm = 2500;

    /// <summary>Fits; null when there is too little to learn from.</summary>
    public static HealthyCrankcase? Fit(ReadOnlySpan<CrankcaseSample> samples, double runningS, CrankcaseOptions options)
    {
        if (runningS < options.LeastRunningS || samples.Length < Parts * LeastInPart / 2) return null;
        bool makesVacuum = MakesVacuum(samples, options.LeastVacuumKpa);
        int parts = Math.Clamp(samples.Length / LeastInPart, 1, Parts);
        var healthy = new bool[parts];
        Array.Fill(healthy, true);
        Table medians = Quantiles(samples, healthy, 0.5);
        // Where the loss lasts for most of the run the median is the loss, and nothing can be compared with it: the deep side is what the engine could do.
        Table all = makesVacuum && medians.IsMostlyWithoutVacuum(options.LeastVacuumKpa) ? Quantiles(samples, healthy, DeepSide) : medians;
        if (all.Known < 2) return null;
        healthy = HealthyParts(samples, all, parts, makesVacuum);
        bool anyLost = makesVacuum && LeaveOutLost(samples, healthy, options.LeastVacuumKpa);
        if (anyLost)
        {
            // The part in which the loss begins holds some of it.
            healthy = [.. healthy.SelectMany(each => Enumerable.Repeat(each, Finer))];
            LeaveOutLost(samples, healthy, options.LeastVacuumKpa);
        }
        Table chosen = Quantiles(samples, healthy, 0.5);
        if (chosen.Known < 2) return null;
        // Speeds that were only seen in other parts: the shape of all of them, at the level of the healthy ones.
        chosen.FillFrom(medians, makesVacuum, anyLost);
        var model = new HealthyCrankcase(chosen.Curve(0, makesVacuum), chosen.Curve(1, makesVacuum), 1, makesVacuum);
        return new HealthyCrankcase(chosen.Curve(0, makesVacuum), chosen.Curve(1, makesVacuum), Spread(samples, healthy, model), makesVacuum);
    }

    private static bool MakesVacuum(ReadOnlySpan<CrankcaseSample> samples, double leastKpa)
    {
        var depths = new List<double>(samples.Length);
        foreach (ref readonly CrankcaseSample sample in samples)
            if (sample.SpeedRpm >= FastRpm) depths.Add(-sample.PressureKpa);
        Span<double> span = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(depths);
        return Robust.Quantile(span, DeepShare) > leastKpa;
    }

    private static bool[] HealthyParts(ReadOnlySpan<CrankcaseSample> samples, Table all, int parts, bool makesVacuum)
    {
        var level = new double[parts];
        var apart = new List<double>();
        for (int part = 0; part < parts; part++)
        {
            apart.Clear();
            foreach (ref readonly CrankcaseSample sample in PartOf(samples, part, parts))
            {
                double usual = all.At(sample);
                if (!double.IsFinite(usual) || sample.SpeedRpm < FastRpm) continue;
                if (!makesVacuum) apart.Add(usual - sample.PressureKpa);
                else if (usual < -0.5) apart.Add(sample.PressureKpa / usual);
            }
            Span<double> span = System.Runtime.InteropServices.CollectionsMarshal.AsSpan(apart);
            level[part] = apart.Count >= LeastInBin ? Robust.Quantile(span, 0.5) : double.NegativeInfinity;
        }
        double best = level.Max();
        if (!double.IsFinite(best)) return [.. level.Select(_ => true)];
        return [.. level.Select(each => each >= (makesVacuum ? LikeDeepest * best : best - LikeLowestKpa))];
    }

    /// <summary>Takes out the parts in which less vacuum was made than the healthy ones before them lead to expect; true when there was any.</summary>
    private static bool LeaveOutLost(ReadOnlySpan<CrankcaseSample> samples, bool[] healthy, double leastKpa)
    {
        var before = new bool[healthy.Length];
        bool any = false;
        var alike = new List<double>();
        var shares = new List<double>();
        for (int part = 0; part < healthy.Length; part++)
        {
            // The part just before may hold the beginning of a loss: it does not vouch for this one where others can.
            bool held = part > 0 && before[part - 1] && before.Count(each => each) > 1;
            if (held) before[part - 1] = false;
            if (Array.IndexOf(before, true) >= 0)
            {
                Table seen = Quantiles(samples, before, 0.5);
                var known = new HealthyCrankcase(seen.Curve(0, makesVacuum: true), seen.Curve(1, makesVacuum: true), 1, makesVacuum: true);
                alike.Clear();
                shares.Clear();
                foreach (ref readonly CrankcaseSample sample in PartOf(samples, part, healthy.Length))
                {
                    if (sample.SpeedRpm < FastRpm) continue;
                    double expected = known.At(sample.SpeedRpm, sample.Throttle);
                    if (!(expected < -leastKpa)) continue;
                    shares.Add(sample.PressureKpa / expected);
                    if (double.IsFinite(seen.At(sample))) alike.Add(sample.PressureKpa / expected);
                }
                (List<double> judged, double least) = alike.Count >= EnoughAlike ? (alike, LikeBefore) : (shares, LikeStraight);
                if (judged.Count >= LeastInBin && Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(judged), 0.5) < least)
                {
                    healthy[part] = false;
                    any = true;
                    held = false;
                }
            }
            if (held) before[part - 1] = true;
            before[part] = healthy[part];
        }
        return any;
    }

    private static ReadOnlySpan<CrankcaseSample> PartOf(ReadOnlySpan<CrankcaseSample> samples, int part, int parts)
    {
        int from = (int)((long)samples.Length * part / parts), to = (int)((long)samples.Length * (part + 1) / parts);
        return samples[from..to];
    }

    private static Table Quantiles(ReadOnlySpan<CrankcaseSample> samples, bool[] parts, double share)
    {
        var groups = new List<double>?[2, HealthyCrankcase.Bins];
        for (int part = 0; part < parts.Length; part++)
        {
            if (!parts[part]) continue;
            foreach (ref readonly CrankcaseSample sample in PartOf(samples, part, parts.Length))
            {
                int bin = HealthyCrankcase.BinOf(sample.SpeedRpm);
                // Without a throttle channel a sample stands for both.
                if (!(sample.Throttle > HealthyCrankcase.OpenPercent)) (groups[0, bin] ??= []).Add(sample.PressureKpa);
                if (!(sample.Throttle <= HealthyCrankcase.OpenPercent)) (groups[1, bin] ??= []).Add(sample.PressureKpa);
            }
        }
        var table = new Table();
        for (int open = 0; open < 2; open++)
        {
            for (int bin = 0; bin < HealthyCrankcase.Bins; bin++)
            {
                if (groups[open, bin] is not { Count: >= LeastInBin } group) continue;
                table[open, bin] = Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(group), share);
            }
        }
        return table;
    }

    private static double Spread(ReadOnlySpan<CrankcaseSample> samples, bool[] healthy, HealthyCrankcase model)
    {
        var apart = new List<double>();
        for (int part = 0; part < healthy.Length; part++)
        {
            if (!healthy[part]) continue;
            foreach (ref readonly CrankcaseSample sample in PartOf(samples, part, healthy.Length))
                if (sample.SpeedRpm >= FastRpm) apart.Add(Math.Abs(sample.PressureKpa - model.At(sample.SpeedRpm, sample.Throttle)));
        }
        double mad = Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(apart), 0.5);
        return double.IsFinite(mad) ? Math.Max(LeastSpreadKpa, Robust.MadToSigma * mad) : LeastSpreadKpa;
    }

    /// <summary>Medians by throttle (0 shut, 1 open) and engine speed; NaN where too little was seen.</summary>
    private sealed class Table
    {
        private readonly double[,] _kpa = new double[2, HealthyCrankcase.Bins];

        public Table()
        {
            for (int i = 0; i < HealthyCrankcase.Bins; i++) _kpa[0, i] = _kpa[1, i] = double.NaN;
        }

        public int Known => _kpa.Cast<double>().Count(double.IsFinite);

        public double this[int open, int bin]
        {
            get => _kpa[open, bin];
            set => _kpa[open, bin] = value;
        }

        /// <summary>True when at most of the speeds at which a pump makes vacuum there is none.</summary>
        public bool IsMostlyWithoutVacuum(double leastKpa)
        {
            int known = 0, without = 0;
            for (int open = 0; open < 2; open++)
            {
                for (int bin = HealthyCrankcase.BinOf(FastRpm); bin < HealthyCrankcase.Bins; bin++)
                {
                    if (!double.IsFinite(_kpa[open, bin])) continue;
                    known++;
                    if (_kpa[open, bin] > -leastKpa) without++;
                }
            }
            return 2 * without > known;
        }

        public double At(in CrankcaseSample sample)
        {
            int bin = HealthyCrankcase.BinOf(sample.SpeedRpm);
            return _kpa[sample.Throttle > HealthyCrankcase.OpenPercent ? 1 : 0, bin];
        }

        /// <summary>Fills what is missing beyond the slowest and the fastest speed seen, with the shape of another table at this one's level.</summary>
        /// <remarks>
        /// The other table holds speeds that were seen while vacuum was being lost, at no one level: its shape there may be far too deep once it is brought to this one's
        /// level. So slower nothing becomes deeper than the slowest speed that is known, and faster nothing deeper than in proportion to speed. Nor may the loss itself pass
        /// for what is healthy: where one was found, slower nothing is shallower than in proportion to speed, and faster nothing much shallower than the fastest known.
        /// </remarks>
        public void FillFrom(Table other, bool byRatio, bool anyLost)
        {
            var level = new List<double>();
            for (int open = 0; open < 2; open++)
            {
                for (int bin = 0; bin < HealthyCrankcase.Bins; bin++)
                {
                    double here = _kpa[open, bin], there = other._kpa[open, bin];
                    if (!double.IsFinite(here) || !double.IsFinite(there)) continue;
                    if (!byRatio) level.Add(here - there);
                    else if (there < -0.5) level.Add(here / there);
                }
            }
            double usual = Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(level), 0.5);
            if (!double.IsFinite(usual)) return;
            for (int open = 0; open < 2; open++)
            {
                (int slowest, int fastest) = Range(open);
                if (fastest < 0) continue;
                double slow = _kpa[open, slowest], fast = _kpa[open, fastest];
                for (int bin = 0; bin < HealthyCrankcase.Bins; bin++)
                {
                    double there = other._kpa[open, bin];
                    if ((bin >= slowest && bin <= fastest) || !double.IsFinite(there)) continue;
                    if (!byRatio)
                    {
                        _kpa[open, bin] = there + usual;
                        continue;
                    }
                    double reach = bin < slowest ? slow : fast * (bin + 0.5) / (fastest + 0.5);
                    double least = bin < slowest ? slow * (bin + 0.5) / (slowest + 0.5) : LeastOfFastest * fast;
                    _kpa[open, bin] = Math.Max(anyLost ? Math.Min(there * usual, least) : there * usual, reach);
                }
            }
        }

        private (int Slowest, int Fastest) Range(int open)
        {
            (int slowest, int fastest) = (HealthyCrankcase.Bins, -1);
            for (int bin = 0; bin < HealthyCrankcase.Bins; bin++)
            {
                if (!double.IsFinite(_kpa[open, bin])) continue;
                slowest = Math.Min(slowest, bin);
                fastest = bin;
            }
            return (slowest, fastest);
        }

        /// <summary>The curve for one state of the throttle: gaps by a straight line, flat above what was seen, and below it towards ambient.</summary>
        public double[] Curve(int open, bool makesVacuum)
        {
            var curve = new double[HealthyCrankcase.Bins];
            int before = -1;
            for (int bin = 0; bin < curve.Length; bin++)
            {
                double value = double.IsFinite(_kpa[open, bin]) ? _kpa[open, bin] : _kpa[1 - open, bin];
                if (!double.IsFinite(value)) continue;
                for (int gap = before + 1; gap < bin; gap++)
                {
                    double share = before < 0 ? 0 : (gap - before) / (double)(bin - before);
                    curve[gap] = before < 0
                        ? value * (makesVacuum ? (gap + 0.5) / (bin + 0.5) : 1)
                        : curve[before] + (share * (value - curve[before]));
                }
                curve[bin] = value;
                before = bin;
            }
            for (int bin = before + 1; bin < curve.Length && before >= 0; bin++) curve[bin] = curve[before];
            return curve;
        }
    }
}
