namespace OilWatch.Channels;

/// <summary>What one channel held, taken reading by reading.</summary>
internal sealed class ChannelContents(ContentsDetail detail, int seed)
{
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
        if (_last is not { } last)
        {
            _first = _last = at;
        }
        else if (at > last)
        {
            _intervals.Add(at.Nanoseconds - last.Nanoseconds);
            _last = at;
        }
        else if (at < _first)
        {
            _first = at;
        }
    }

    public ChannelSample Sample()
    {
        if (_count == 0) return ChannelSample.Empty;
        ChannelSample kept = ChannelSample.Of(_values.AsSpan(0, _kept));
        return kept with { Count = _count, Min = _min, Max = _max, Distinct = Math.Max(kept.Distinct, _distinct.Count) };
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
