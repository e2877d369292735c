namespace OilWatch.Causes;

/// <summary>How pressure stood against healthy in a part of the run. NaN where the part does not show it.</summary>
internal sealed record SignaturePart
{
    private const int FirstFastBin = 5;              // 2500 rpm
    private const int FirstIdleBin = 1;              // nothing under 600 rpm is taken
    private const int EndIdleBin = 3;                // 1500 rpm
    private const int LeastInCell = 15;
    private const double LeastLogSpread = 0.002;       // speeds closer together than 4.5 % say nothing of a slope

    /// <summary>Readings above 2500 rpm.</summary>
    public double Count { get; private init; }

    /// <summary>Ratio of pressure to healthy above 2500 rpm, all loads.</summary>
    public double Ratio { get; private init; } = double.NaN;

    /// <summary>The same in calm running.</summary>
    public double CalmRatio { get; private init; } = double.NaN;

    /// <summary>The same at idle, up to 1500 rpm.</summary>
    public double IdleRatio { get; private init; } = double.NaN;

    /// <summary>Calm less loaded ratio at equal engine speed.</summary>
    public double LoadGap { get; private init; } = double.NaN;

    /// <summary>Standard deviation of the ratio in calm running at equal engine speed.</summary>
    public double Scatter { get; private init; } = double.NaN;

    /// <summary>How far single readings stand off the line between their neighbours in calm running, kPa RMS.</summary>
    public double FlutterKpa { get; private init; } = double.NaN;

    /// <summary>Power of engine speed with which pressure rises in calm running above 2500 rpm: 1 is a ramp, 0 is flat.</summary>
    public double SpeedPower { get; private init; } = double.NaN;

    /// <summary>Measures the sums of a part.</summary>
    public static SignaturePart Of(StretchSums sums)
    {
        SignatureTally.Cell fast = sums.Over(FirstFastBin, SignatureTally.Bins, 0, SignatureTally.Loads);
        SignatureTally.Cell calm = sums.Over(FirstFastBin, SignatureTally.Bins, 0, 1);
        SignatureTally.Cell idle = sums.Over(FirstIdleBin, EndIdleBin, 0, SignatureTally.Loads);
        double gap = 0, gapWeight = 0, scatter = 0, degrees = 0, flutter = 0, flutterCount = 0;
        double n = 0, x = 0, y = 0, xx = 0, xy = 0;
        for (int bin = FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            ref SignatureTally.Cell free = ref sums[bin, 0];
            ref SignatureTally.Cell loaded = ref sums[bin, 2];
            if (free.Count < LeastInCell) continue;
            double mean = free.Ratio / free.Count;
            if (loaded.Count >= LeastInCell)
            {
                double weight = Math.Min(free.Count, loaded.Count);
                gap += weight * (mean - (loaded.Ratio / loaded.Count));
                gapWeight += weight;
            }
            scatter += Math.Max(0, free.Ratio2 - (free.Count * mean * mean));
            degrees += free.Count - 1;
            flutter += free.FlutterKpa2;
            flutterCount += free.FlutterCount;
            double lnRpm = Math.Log((bin + 0.5) * SignatureTally.BinRpm), lnKpa = Math.Log(Math.Max(free.PressureKpa / free.Count, 1));
            double counts = Math.Min(free.Count, 100);
            n += counts;
            x += counts * lnRpm;
            y += counts * lnKpa;
            xx += counts * lnRpm * lnRpm;
            xy += counts * lnRpm * lnKpa;
        }
        double spread = (n * xx) - (x * x);
        return new SignaturePart
        {
            Count = fast.Count,
            Ratio = fast.Count >= LeastInCell ? fast.Ratio / fast.Count : double.NaN,
            CalmRatio = calm.Count >= LeastInCell ? calm.Ratio / calm.Count : double.NaN,
            IdleRatio = idle.Count >= LeastInCell ? idle.Ratio / idle.Count : double.NaN,
            LoadGap = gapWeight > 0 ? gap / gapWeight : double.NaN,
            Scatter = degrees > 0 ? Math.Sqrt(scatter / degrees) : double.NaN,
            FlutterKpa = flutterCount > 0 ? Math.Sqrt(flutter / flutterCount) : double.NaN,
            SpeedPower = n > 0 && spread > LeastLogSpread * n * n ? ((n * xy) - (x * y)) / spread : double.NaN,
        };
    }
}
