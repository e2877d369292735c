namespace OilWatch.Detectors;

/// <summary>The gears of the car, as engine speed over road speed shows them: an engine that drives its wheels stays with one of a few ratios.</summary>
/// <remarks>A histogram of the time spent at each ratio while it stands still; a gear is where much of the time is. Nothing has to be known of the gearbox.</remarks>
internal sealed class GearRatios
{
    private const double Lowest = 2;                     // rpm at one km/h; the highest is some 900
    private const double Width = 0.01;                   // of the ratio
    private const int Near = 3;                          // widths
    private const int Bins = 610;
    private const double Still = 0.01;                   // of the ratio, from one look to the next
    private const double LongestS = 0.3;                 // between two looks
    private const double LeastS = 2.5;                   // in a gear
    private const double LeastShare = 0.01;              // of all
    private const double KnownS = 45;
    private const double KnownShare = 0.75;
    private readonly double[] _seconds = new double[Bins];
    private double _all;
    private double _known;
    private double _last = double.NaN;
    private LogTime _lastAt;

    /// <summary>True when the gears driven so far explain most of the time.</summary>
    public bool AreKnown => _known >= KnownS && _known >= KnownShare * _all;

    /// <summary>True at a ratio of one of the gears.</summary>
    public bool Has(double rpm, double kmh) => IsGear(BinOf(Ratio(rpm, kmh)));

    /// <summary>True near a ratio of one of the gears: a road speed that lags behind is off by some hundredths while the car brakes.</summary>
    public bool HasNear(double rpm, double kmh)
    {
        int bin = BinOf(Ratio(rpm, kmh));
        if (bin < 0) return false;
        for (int near = bin - Near; near <= bin + Near; near++)
            if (IsGear(near)) return true;
        return false;
    }

    /// <summary>Takes a pair of speeds of one instant, in order of time.</summary>
    public void Learn(LogTime at, double rpm, double kmh)
    {
        double ratio = Ratio(rpm, kmh), step = at.SecondsSince(_lastAt);
        int bin = BinOf(ratio);
        if (bin >= 0 && step <= LongestS && Math.Abs(ratio - _last) < Still)
        {
            _seconds[bin] += step;
            _all += step;
            if (IsGear(bin)) _known += step;
        }
        (_last, _lastAt) = (ratio, at);
    }

    private bool IsGear(int bin)
    {
        if (bin < 1 || bin > Bins - 2) return false;
        double seconds = _seconds[bin - 1] + _seconds[bin] + _seconds[bin + 1];
        return seconds >= LeastS && seconds >= LeastShare * _all;
    }

    private static double Ratio(double rpm, double kmh) => rpm > 0 && kmh > 0 ? Math.Log(rpm / kmh / Lowest) : double.NaN;

    private static int BinOf(double ratio) => ratio >= Width && ratio < (Bins - 2) * Width ? (int)(ratio / Width) : -1;
}
