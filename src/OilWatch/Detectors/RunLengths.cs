namespace OilWatch.Detectors;

/// <summary>How long a channel normally shows the same value, learned as it runs: coarse steps and slow updates are not faults.</summary>
internal struct RunLengths
{
    private const int Bins = 24;
    private const int Few = 20;
    private const int OftenEnough = 5;
    private const double FirstS = 0.01;        // bins grow by the square root of two: 0.01 s to about 29 s
    private static readonly double[] Lengths = [.. Enumerable.Range(0, Bins + 1).Select(bin => FirstS * Math.Pow(2, bin / 2.0))];
    private Counts _counts;
    private long _total;
    private int _usualBin;
    private long _longer;               // runs in the bins from the usual one up: always fewer than often
    private double _lastS;
    private int _lastBin;

    /// <summary>Takes a run of equal values that ended by a change.</summary>
    /// <param name="seconds">From its first reading to the first different one.</param>
    public void Add(double seconds)
    {
        // Mostly the channel's own interval again.
        if (seconds != _lastS)
        {
            _lastS = seconds;
            _lastBin = BinOf(seconds);
        }
        _counts[_lastBin]++;
        _total++;
        if (_lastBin < _usualBin) return;
        // Counts only grow, so what is usual only moves up.
        _longer++;
        while (_longer >= OftenEnough) _longer -= _counts[_usualBin++];
    }

    /// <summary>True once enough runs were seen to say what is usual.</summary>
    public readonly bool IsKnown => _total >= 200;

    /// <summary>
    /// A length that is usual, s: the longest that came up at least <see cref="OftenEnough"/> times. What happened once or twice may have been a
    /// fault. <paramref name="untilKnown"/> while too little is known.
    /// </summary>
    public readonly double UsualS(double untilKnown) => _total < Few ? untilKnown : Lengths[_usualBin];

    private static int BinOf(double seconds) =>
        seconds <= FirstS ? 0 : Math.Min(Bins - 1, (int)(2 * Math.Log2(seconds / FirstS)));

    [System.Runtime.CompilerServices.InlineArray(Bins)]
    private struct Counts
    {
        private long _first;
    }
}
