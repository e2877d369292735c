namespace OilWatch.Causes;

/// <summary>How a change of pressure came: in how long, and at which engine speeds. NaN where the run does not show it.</summary>
/// <param name="FromS">When it began, s of log time.</param>
/// <param name="TookS">How long it took to come, s: 0 is a step.</param>
/// <param name="SuddenEvidence">Natural logarithm of how much likelier the readings are with a change that came within <see cref="SuddenS"/> than with one that took <see cref="SlowS"/> or more.</param>
/// <param name="LowFall">Share by which the ratio fell at up to six tenths of the highest speed driven, above 2500 rpm.</param>
/// <param name="TopFall">The same from eight tenths of it on.</param>
/// <param name="Sigma">How far the ratio before and after stand apart at equal speeds, in standard errors.</param>
internal readonly record struct ChangeCourse(double FromS, double TookS, double SuddenEvidence, double LowFall, double TopFall, double Sigma)
{
    /// <summary>Longest time in which a part that breaks or sticks takes pressure, s: a stretch of the run either way counts with it.</summary>
    public const double SuddenS = 12;

    /// <summary>Shortest time in which oil fills with air, s.</summary>
    public const double SlowS = 40;

    private const double AroundS = 240;
    private const double ShiftS = 150;
    private const double MostInCell = 20;              // readings near each other in time say no more
    private const double LeastInCell = 3;
    private const int LeastStretches = 8;
    private const int LeastCells = 4;
    private const int LeastSide = 2;
    private const double LeastFreedom = 20;
    private const double LeastSpread = 5;
    private const double NoSpread = 1e-9;
    private const double LowShare = 0.6;
    private const double HighShare = 0.8;
    private const int Speeds = SignatureTally.Bins - StretchSums.FirstFastBin;
    private static readonly double[] Lengths = [0, 10, 20, 30, 40, 60, 90, 120, 180];

    /// <summary>Not known.</summary>
    public static ChangeCourse Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Fits how a change came: at each engine speed two levels of the ratio, and from one to the other a straight line in time, the same for all speeds.</summary>
    /// <param name="tally">The run.</param>
    /// <param name="near">A stretch near the change; -1 where there was none.</param>
    public static ChangeCourse Of(SignatureTally tally, int near)
    {
        int around = (int)(AroundS / tally.StretchS), shift = (int)(ShiftS / tally.StretchS);
        int from = Math.Max(0, near - around), count = Math.Min(tally.Stretches.Count, near + around + 1) - from;
        if (near < 0 || count < LeastStretches) return Unknown;
        var ratios = new Ratios(tally, from, count);
        var came = new double[count];
        (double unchanged, double freedom) = ratios.Left(came);
        if (!(freedom >= LeastFreedom)) return Unknown;
        (double Left, int Begin, double Length) best = (double.PositiveInfinity, 0, 0);
        double sudden = double.PositiveInfinity, slow = double.PositiveInfinity;
        for (int begin = Math.Max(LeastSide, near - from - shift); begin <= Math.Min(count - 1 - LeastSide, near - from + shift); begin++)
        {
            foreach (double length in Lengths)
            {
                if (begin + (length / tally.StretchS) > count - LeastSide) break;
                Fill(came, begin, length / tally.StretchS);
                (double left, _) = ratios.Left(came);
                if (length <= SuddenS) sudden = Math.Min(sudden, left);
                if (length >= SlowS) slow = Math.Min(slow, left);
                if (left < best.Left) best = (left, begin, length);
            }
        }
        if (!double.IsFinite(sudden) || !double.IsFinite(slow)) return Unknown;
        double variance = Math.Max(best.Left / freedom, NoSpread);
        Fill(came, best.Begin, best.Length / tally.StretchS);
        (double low, double top) = ratios.Falls(came);
        return new ChangeCourse(
            tally.MiddleOf(from + best.Begin).Seconds, best.Length, (slow - sudden) / (2 * variance), low, top, Math.Sqrt(Math.Max(0, unchanged - best.Left) / variance));
    }

    /// <summary>How much of the change had come in each stretch.</summary>
    private static void Fill(double[] came, int begin, double length)
    {
        for (int i = 0; i < came.Length; i++)
            came[i] = length > 0 ? Math.Clamp((i - begin) / length, 0, 1) : i < begin ? 0 : i > begin ? 1 : 0.5;
    }

    private sealed class Ratios
    {
        private readonly int _count;
        private readonly double[] _ratios;
        private readonly double[] _weights;

        public Ratios(SignatureTally tally, int from, int count)
        {
            _count = count;
            _ratios = new double[count * Speeds];
            _weights = new double[count * Speeds];
            for (int i = 0; i < count; i++)
            {
                for (int speed = 0; speed < Speeds; speed++)
                {
                    int bin = StretchSums.FirstFastBin + speed;
                    SignatureTally.Cell cell = tally.Stretches[from + i].Over(bin, bin + 1, 0, SignatureTally.Loads);
                    if (cell.Count < LeastInCell) continue;
                    _ratios[(speed * count) + i] = cell.Ratio / cell.Count;
                    _weights[(speed * count) + i] = Math.Min(cell.Count, MostInCell);
                }
            }
        }

        /// <summary>Squares that are left when each speed has its level and what it lost by the change; and their degrees of freedom.</summary>
        public (double Left, double Freedom) Left(double[] came)
        {
            double left = 0, freedom = 0;
            for (int speed = 0; speed < Speeds; speed++)
            {
                Line line = At(speed, came);
                if (line.Cells < LeastCells) continue;
                left += line.Spread > NoSpread * line.Weight ? line.Squares - (line.Both * line.Both / line.Spread) : line.Squares;
                freedom += line.Cells - 2;
            }
            return (left, freedom);
        }

        /// <summary>The share by which the ratio fell at low and at high speeds.</summary>
        public (double Low, double Top) Falls(double[] came)
        {
            var lines = new Line[Speeds];
            int highest = -1;
            for (int speed = 0; speed < Speeds; speed++)
            {
                lines[speed] = At(speed, came);
                if (lines[speed].Cells >= LeastCells && lines[speed].Spread >= LeastSpread && lines[speed].LevelBefore > 0) highest = speed;
                else lines[speed] = default;
            }
            double lowFall = 0, low = 0, topFall = 0, top = 0;
            for (int speed = 0; speed <= highest; speed++)
            {
                Line line = lines[speed];
                if (!(line.Spread > 0)) continue;
                double share = (StretchSums.FirstFastBin + speed + 0.5) / (StretchSums.FirstFastBin + highest + 0.5);
                double fall = -line.Both / line.LevelBefore;
                if (share < LowShare) (lowFall, low) = (lowFall + fall, low + line.Spread);
                if (share >= HighShare) (topFall, top) = (topFall + fall, top + line.Spread);
            }
            return (low > 0 ? lowFall / low : double.NaN, top > 0 ? topFall / top : double.NaN);
        }

        private Line At(int speed, double[] came)
        {
            double w = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
            int cells = 0;
            for (int i = 0; i < _count; i++)
            {
                double weight = _weights[(speed * _count) + i];
                if (weight <= 0) continue;
                double ratio = _ratios[(speed * _count) + i];
                cells++;
                w += weight;
                x += weight * came[i];
                y += weight * ratio;
                xx += weight * came[i] * came[i];
                xy += weight * came[i] * ratio;
                yy += weight * ratio * ratio;
            }
            if (cells == 0) return default;
            double spread = xx - (x * x / w), both = xy - (x * y / w);
            return new Line(cells, w, spread, both, Math.Max(0, yy - (y * y / w)), (y - (spread > 0 ? both / spread * x : 0)) / w);
        }
    }

    private readonly record struct Line(int Cells, double Weight, double Spread, double Both, double Squares, double LevelBefore);
}
