namespace OilWatch.Channels;

/// <summary>What one channel held, taken reading by reading.</summary>
internal sealed class ChannelContents(ContentsDetail detail, int seed)
{
    public static readonly ChannelSample NoSample =
        new(0, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, 0);

    private readonly IntervalTally _intervals = new(detail.IntervalsPerDecade);
    private readonly HashSet<double> _distinct = [];
    private ulong _random = 0x9E37_79B9_7F4A_7C15 + (ulong)(uint)seed;   // any seed but 0 will do; the golden ratio's bits are not 0
    private double[] _values = [];
    private int _kept;
    private long _count;
    private long _absent;
    private double _min = double.NaN;
    private double _max = double.NaN;
    private LogTime? _first;
    private LogTime? _last;

    public void Add(LogTime at, double value)
    {
        if (!double.IsFinite(value))
        {
            _absent++;
            return;
        }
        _count++;
        Keep(value);
        if (!(_min <= value)) _min = value;
        if (!(_max >= value)) _max = value;
        if (_last is { } last && at > last) _intervals.Add(at.Nanoseconds - last.Nanoseconds);
        if (_first is not { } first || at < first) _first = at;
        if (_last is not { } latest || at > latest) _last = at;
    }

    public ChannelSample Sample()
    {
        if (_count == 0) return NoSample;
        double[] sorted = _values[.._kept];
        Array.Sort(sorted);
        return new ChannelSample(
            _count, _min, _max, Quantile(sorted, 0.5), Quantile(sorted, 0.05), Quantile(sorted, 0.95), Distinct(sorted));
    }

    public ChannelListing Listing(LogChannel channel, LogTime? logFirst, LogTime? logLast)
    {
        var listing = new ChannelListing { Channel = channel, Samples = _count, Absent = _absent };
        if (_count == 0) return listing;
        double medianS = _intervals.MedianS;
        double limitS = double.IsNaN(medianS)
            ? InventorySink.ShortestGapS
            : Math.Max(InventorySink.ShortestGapS, InventorySink.GapIntervals * medianS);
        (long gaps, double gapS) = _intervals.LongerThan(limitS);
        foreach (double edgeS in (ReadOnlySpan<double>)[Seconds(logFirst, _first), Seconds(_last, logLast)])
        {
            if (edgeS <= limitS) continue;
            gaps++;
            gapS += edgeS;
        }
        return listing with
        {
            RateHz = medianS > 0 ? 1 / medianS : null,
            Min = _min,
            Max = _max,
            GapCount = gaps,
            GapS = gapS,
        };
    }

    private static double Seconds(LogTime? from, LogTime? to) =>
        from is { } start && to is { } end ? end.SecondsSince(start) : 0;

    /// <summary>Linear between order statistics (R's type 7).</summary>
    private static double Quantile(double[] sorted, double share)
    {
        double place = share * (sorted.Length - 1);
        int below = (int)place;
        int above = Math.Min(below + 1, sorted.Length - 1);
        return sorted[below] + ((place - below) * (sorted[above] - sorted[below]));
    }

    private int Distinct(double[] sorted)
    {
        int inSample = 1;
        for (int i = 1; i < sorted.Length; i++)
            if (sorted[i] != sorted[i - 1]) inSample++;
        return Math.Max(inSample, _distinct.Count);
    }

    private void Keep(double value)
    {
        if (_distinct.Count < detail.DistinctValues) _distinct.Add(value);
        if (_kept < detail.Values)
        {
            if (_kept == _values.Length) Array.Resize(ref _values, Math.Clamp(2 * _kept, 16, detail.Values));
            _values[_kept++] = value;
            return;
        }
        ulong place = NextRandom() % (ulong)_count;
        if (place < (ulong)_kept) _values[place] = value;
    }

    /// <summary>Xorshift64 (G. Marsaglia, J. Stat. Softw. 8 (2003) 14); its bias modulo the count is far below the sample's own error.</summary>
    private ulong NextRandom()
    {
        _random ^= _random << 13;
        _random ^= _random >> 7;
        return _random ^= _random << 17;
    }
}
