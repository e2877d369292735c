namespace OilWatch.Causes;

/// <summary>By how much pressure became more unsteady during a run, at equal engine speed.</summary>
/// <param name="AfterStretch">The stretch in which it changed, or -1.</param>
/// <param name="Growth">Natural logarithm of the variance after it against before, at equal speeds; 0 without a change.</param>
/// <param name="Sigma">How sure that is: <paramref name="Growth"/> in units of what equal variances would show by chance.</param>
/// <param name="NearGrowth">The same growth within <see cref="NearS"/> of the change: what comes with the heat of the oil comes slowly.</param>
/// <param name="CalmGrowth">The same growth without load alone; NaN where there is too little of it.</param>
/// <param name="Share">RMS of what came to it, as a share of pressure.</param>
internal readonly record struct FlutterGrowth(int AfterStretch, double Growth, double Sigma, double NearGrowth, double CalmGrowth, double Share)
{
    /// <summary>How far around the change the near growth is taken, s.</summary>
    public const double NearS = 90;

    private const double LeastSideS = 30;
    private const double LeastInBin = 10;
    private const double LeastCalm = 30;
    private const double FloorKpa2 = 0.1;              // a sensor without noise would make every change certain
    private const int BinsTogether = 2;

    /// <summary>None.</summary>
    public static FlutterGrowth None { get; } = new(-1, 0, 0, 0, double.NaN, 0);

    /// <summary>Finds the surest growth in a run.</summary>
    public static FlutterGrowth Of(SignatureTally tally)
    {
        int count = tally.Stretches.Count, side = Math.Max(1, (int)Math.Ceiling(LeastSideS / tally.StretchS));
        if (count < (2 * side) + 1) return None;
        // Sums up to each stretch, so that each split costs a difference.
        var all = new Sums(tally, 0, SignatureTally.Loads);
        int best = -1;
        double growth = 0, sigma = 0;
        for (int i = side; i < count - side; i++)
        {
            (double grown, double weight, _) = all.Between(0, i, i + 1, count);
            double sure = grown * Math.Sqrt(weight);
            if (sure > sigma) (best, growth, sigma) = (i, grown, sure);
        }
        if (best < 0) return None;
        int near = Math.Max(side, (int)(NearS / tally.StretchS));
        (double nearGrowth, _, _) = all.Between(Math.Max(0, best - 1 - near), Math.Max(0, best - 1), Math.Min(count, best + 2), Math.Min(count, best + 2 + near));
        (double calm, double calmWeight, _) = new Sums(tally, 0, 1).Between(0, best, best + 1, count);
        double share = all.Between(0, best, best + 1, count).Share;
        return new FlutterGrowth(best, growth, sigma, nearGrowth, calmWeight >= LeastCalm ? calm : double.NaN, share);
    }

    private sealed class Sums
    {
        private const int Speeds = (SignatureTally.Bins - StretchSums.FirstFastBin + BinsTogether - 1) / BinsTogether;
        private readonly (double Count, double Kpa2, double Kpa, double Readings)[] _upTo;

        public Sums(SignatureTally tally, int fromLoad, int toLoad)
        {
            _upTo = new (double, double, double, double)[(tally.Stretches.Count + 1) * Speeds];
            for (int i = 0; i < tally.Stretches.Count; i++)
            {
                for (int speed = 0; speed < Speeds; speed++)
                {
                    int from = StretchSums.FirstFastBin + (speed * BinsTogether);
                    SignatureTally.Cell cell = tally.Stretches[i].Over(from, Math.Min(from + BinsTogether, SignatureTally.Bins), fromLoad, toLoad);
                    (double count, double kpa2, double kpa, double readings) = _upTo[(i * Speeds) + speed];
                    _upTo[((i + 1) * Speeds) + speed] = (count + cell.FlutterCount, kpa2 + cell.FlutterKpa2, kpa + cell.PressureKpa, readings + cell.Count);
                }
            }
        }

        /// <summary>Mean growth over the speeds that both parts have, each by how well its growth is known; and what came to it as a share of pressure.</summary>
        public (double Growth, double Weight, double Share) Between(int fromBefore, int toBefore, int fromAfter, int toAfter)
        {
            double sum = 0, weight = 0, more = 0;
            for (int speed = 0; speed < Speeds; speed++)
            {
                (double before, double beforeKpa2, _) = Part(fromBefore, toBefore, speed);
                (double after, double afterKpa2, double kpa) = Part(fromAfter, toAfter, speed);
                if (before < LeastInBin || after < LeastInBin) continue;
                double counts = 1 / ((1 / before) + (1 / after));
                sum += counts * Math.Log(((afterKpa2 / after) + FloorKpa2) / ((beforeKpa2 / before) + FloorKpa2));
                more += counts * ((afterKpa2 / after) - (beforeKpa2 / before)) / Math.Max(kpa * kpa, 1);
                weight += counts;
            }
            return weight > 0 ? (sum / weight, weight, Math.Sqrt(Math.Max(0, more / weight))) : (0, 0, 0);
        }

        private (double Count, double Kpa2, double MeanKpa) Part(int from, int to, int speed)
        {
            if (to <= from) return (0, 0, 0);
            (double a, double b, double c, double d) = _upTo[(to * Speeds) + speed];
            (double e, double f, double g, double h) = _upTo[(from * Speeds) + speed];
            return (a - e, Math.Max(0, b - f), (c - g) / Math.Max(d - h, 1));
        }
    }
}
