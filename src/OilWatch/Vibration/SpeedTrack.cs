namespace OilWatch.Vibration;

/// <summary>Engine speed over the log, from which the crank's angle follows.</summary>
/// <remarks>Between two readings speed is a straight line. Readings closer than 10 ms are thinned, so that an hour takes at most 6 MB.</remarks>
public sealed class SpeedTrack
{
    private const long ClosestNs = 10_000_000;
    private const int Most = 8_000_000;
    private readonly List<long> _atNs = [];
    private readonly List<float> _rpm = [];

    /// <summary>How many readings are held.</summary>
    public int Count => _atNs.Count;

    /// <summary>The last instant known, or null.</summary>
    public LogTime? Last => _atNs.Count == 0 ? null : new LogTime(_atNs[^1]);

    /// <summary>Takes a reading. One that is not later than the last, or not finite, is skipped; after eight million no more are taken.</summary>
    /// <param name="at">When.</param>
    /// <param name="speedRpm">Engine speed, rpm, 0 or more.</param>
    public void Add(LogTime at, double speedRpm)
    {
        if (!(speedRpm >= 0 && speedRpm <= 100_000) || _atNs.Count >= Most) return;
        if (_atNs.Count > 0 && at.Nanoseconds < _atNs[^1] + ClosestNs) return;
        _atNs.Add(at.Nanoseconds);
        _rpm.Add((float)speedRpm);
    }

    internal double SpeedRpm(int index) => _rpm[index];

    internal long Nanoseconds(int index) => _atNs[index];

    /// <summary>Engine speed at an instant, rpm; NaN outside the readings or in a gap of more than a second.</summary>
    internal double At(long ns, ref int near)
    {
        int i = Before(ns, near);
        if (i < 0) return double.NaN;
        // Samples that come in step with the readings end exactly on the latest one.
        if (i + 1 >= _atNs.Count) return ns == _atNs[i] ? _rpm[i] : double.NaN;
        near = i;
        long span = _atNs[i + 1] - _atNs[i];
        if (span > OrderTracker.LongestGapNs) return double.NaN;
        return _rpm[i] + ((_rpm[i + 1] - _rpm[i]) * ((ns - _atNs[i]) / (double)span));
    }

    /// <summary>Index of the last reading at or before an instant, or -1; looks forward from a place near it.</summary>
    internal int Before(long ns, int near)
    {
        if (_atNs.Count == 0 || ns < _atNs[0]) return -1;
        int i = Math.Clamp(near, 0, _atNs.Count - 1);
        if (_atNs[i] > ns || _atNs.Count - i > 64)
        {
            i = _atNs.BinarySearch(ns);
            return i >= 0 ? i : ~i - 1;
        }
        while (i + 1 < _atNs.Count && _atNs[i + 1] <= ns) i++;
        return i;
    }
}
