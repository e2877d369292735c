using System.Runtime.InteropServices;
using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>How pressure stood against healthy in a part of the run. NaN where the part does not show it.</summary>
internal sealed record SignaturePart
{
    private const int EndIdleBin = 6;                // 1500 rpm
    private const int LeastInCell = 15;
    private const int LeastForGap = 3;
    private const double GapWindowS = 40;
    private const double LeastTopFall = 0.03;
    private const double LeastLogSpread = 0.002;       // speeds closer together than 4.5 % say nothing of a slope

    /// <summary>Readings above 2500 rpm.</summary>
    public double Count { get; init; }

    /// <summary>Ratio of pressure to healthy above 2500 rpm, all loads.</summary>
    public double Ratio { get; init; } = double.NaN;

    /// <summary>The same in calm running.</summary>
    public double CalmRatio { get; init; } = double.NaN;

    /// <summary>The same at idle, up to 1500 rpm.</summary>
    public double IdleRatio { get; init; } = double.NaN;

    /// <summary>Calm less loaded ratio at equal engine speed.</summary>
    public double LoadGap { get; init; } = double.NaN;

    /// <summary>The same between some and much load.</summary>
    public double HalfLoadGap { get; init; } = double.NaN;

    /// <summary>Standard deviation of the ratio in calm running at equal engine speed: the median stretch, so that slow drift and one odd stretch do not count.</summary>
    public double Scatter { get; init; } = double.NaN;

    /// <summary>How far single readings stand off the line between their neighbours in calm running, kPa RMS.</summary>
    public double FlutterKpa { get; init; } = double.NaN;

    /// <summary>Power of engine speed with which pressure rises above 2500 rpm: 1 is a ramp, 0 is flat.</summary>
    public double SpeedPower { get; init; } = double.NaN;

    /// <summary>How far mean pressure at the highest speeds driven lies below its peak, as a share of the peak.</summary>
    public double TopFall { get; init; } = double.NaN;

    /// <summary>The highest speed driven for long enough to be measured, rpm.</summary>
    public double TopRpm { get; init; } = double.NaN;

    /// <summary>What the ratio loses at equal engine speed for each 1000 rpm that the engine turned faster in the last seconds.</summary>
    public double LostByLately { get; init; } = double.NaN;

    /// <summary>Correlation of the ratio with the speed of the last seconds at equal engine speed: -1 where that alone decides.</summary>
    public double LatelyCorrelation { get; init; } = double.NaN;

    /// <summary>Measures a part of the run.</summary>
    /// <param name="tally">The run.</param>
    /// <param name="from">The first stretch of the part.</param>
    /// <param name="to">The one after its last.</param>
    public static SignaturePart Of(SignatureTally tally, int from, int to)
    {
        var sums = new StretchSums();
        var scatters = new List<double>(Math.Max(0, to - from));
        int together = Math.Max(1, (int)(GapWindowS / tally.StretchS));
        double gap = 0, gapWeight = 0, half = 0, halfWeight = 0;
        for (int i = from; i < to; i += together)
        {
            var near = new StretchSums();
            for (int j = i; j < Math.Min(i + together, to); j++)
            {
                near.Add(tally.Stretches[j]);
                if (tally.Stretches[j].Scatter() is var scatter && double.IsFinite(scatter)) scatters.Add(scatter);
            }
            sums.Add(near);
            AddGap(near, 0, ref gap, ref gapWeight);
            AddGap(near, 1, ref half, ref halfWeight);
        }
        return Of(sums) with
        {
            Scatter = Robust.Quantile(CollectionsMarshal.AsSpan(scatters), 0.5),
            LoadGap = gapWeight >= LeastInCell ? gap / gapWeight : double.NaN,
            HalfLoadGap = halfWeight >= LeastInCell ? half / halfWeight : double.NaN,
        };
    }

    /// <summary>Calm against loaded readings of equal speed, near each other in time: what is expected may drift along a run.</summary>
    private static void AddGap(StretchSums near, int less, ref double gap, ref double weight)
    {
        for (int bin = StretchSums.FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            ref SignatureTally.Cell calm = ref near[bin, less];
            ref SignatureTally.Cell loaded = ref near[bin, SignatureTally.Loads - 1];
            double both = Math.Min(calm.Count, loaded.Count);
            if (both < LeastForGap) continue;
            gap += both * ((calm.Ratio / calm.Count) - (loaded.Ratio / loaded.Count));
            weight += both;
        }
    }

    /// <summary>The last bin before healthy pressure falls off towards the top; the last one of all where it does not.</summary>
    private static int LastRising(StretchSums sums)
    {
        double peak = 0, last = 0;
        int at = SignatureTally.Bins;
        for (int bin = StretchSums.FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            SignatureTally.Cell any = sums.Over(bin, bin + 1, 0, SignatureTally.Loads);
            if (any.Count < LeastInCell) continue;
            last = any.ExpectedKpa / any.Count;
            if (last > peak) (peak, at) = (last, bin);
        }
        return last < (1 - LeastTopFall) * peak ? at : SignatureTally.Bins;
    }

    private static SignaturePart Of(StretchSums sums)
    {
        SignatureTally.Cell fast = sums.Over(StretchSums.FirstFastBin, SignatureTally.Bins, 0, SignatureTally.Loads);
        SignatureTally.Cell calm = sums.Over(StretchSums.FirstFastBin, SignatureTally.Bins, 0, 1);
        SignatureTally.Cell idle = sums.Over(0, EndIdleBin, 0, SignatureTally.Loads);
        double flutter = 0, flutterCount = 0;
        double peak = 0, top = double.NaN, topRpm = double.NaN;
        double n = 0, x = 0, y = 0, xx = 0, xy = 0;
        int lastRising = LastRising(sums);
        double lately2 = 0, ratio2 = 0, both = 0;
        for (int bin = StretchSums.FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            ref SignatureTally.Cell free = ref sums[bin, 0];
            flutter += free.FlutterKpa2;
            flutterCount += free.FlutterCount;
            SignatureTally.Cell any = sums.Over(bin, bin + 1, 0, SignatureTally.Loads);
            if (any.Count < LeastInCell) continue;
            lately2 += any.Lately2 - (any.Lately * any.Lately / any.Count);
            ratio2 += any.Ratio2 - (any.Ratio * any.Ratio / any.Count);
            both += any.LatelyRatio - (any.Lately * any.Ratio / any.Count);
            double lnRpm = Math.Log((bin + 0.5) * SignatureTally.BinRpm), lnKpa = Math.Log(Math.Max(any.PressureKpa / any.Count, 1));
            double counts = Math.Min(any.Count, 100);
            peak = Math.Max(peak, any.PressureKpa / any.Count);
            top = any.PressureKpa / any.Count;
            topRpm = (bin + 1) * SignatureTally.BinRpm;
            if (bin > lastRising) continue;
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
            FlutterKpa = flutterCount > 0 ? Math.Sqrt(flutter / flutterCount) : double.NaN,
            TopFall = peak > 0 ? 1 - (top / peak) : double.NaN,
            TopRpm = topRpm,
            LostByLately = lately2 > 0 ? -both / lately2 : double.NaN,
            LatelyCorrelation = lately2 > 0 && ratio2 > 0 ? both / Math.Sqrt(lately2 * ratio2) : double.NaN,
            SpeedPower = n > 0 && spread > LeastLogSpread * n * n ? ((n * xy) - (x * y)) / spread : double.NaN,
        };
    }
}
