namespace OilWatch.Pressure;

/// <summary>The ramp's gain along the run: a slow drift followed from calm running, quick enough for a warm-up and far too slow for a corner.</summary>
/// <remarks>
/// A random walk in the logarithm of the gain, one step a <see cref="BinS"/>, measured by the robust residuals of the bin
/// (Kalman filter; smoothed backwards by Rauch, Tung and Striebel's recursion when the whole run is known: AIAA J. 3 (1965) 1445).
/// </remarks>
internal sealed class GainTrack
{
    private readonly List<double> _log = [];
    private readonly List<double> _variance = [];
    private readonly double _startS;
    private readonly double _walk;
    private readonly double _quickness;
    private readonly WarmUp _warmUp;
    private readonly List<double> _walked = [];
    private const double WarmUpS = 150;
    private double[]? _smoothed;
    private double[]? _smoothedVariance;

    /// <param name="startS">Log time of the first bin, s.</param>
    /// <param name="binS">Length of a bin, s.</param>
    /// <param name="startSigma">How far the gain may be from 1 at the start, as a standard deviation of its logarithm.</param>
    /// <param name="walkPerRootMinute">How far it may drift in a minute, as a standard deviation of its logarithm.</param>
    /// <param name="quickness">How much quicker it may drift while the oil warms up, as a factor on top; 0 where temperature is known.</param>
    /// <param name="warmUp">What the walk is about.</param>
    public GainTrack(double startS, double binS, double startSigma, double walkPerRootMinute, double quickness, WarmUp warmUp)
    {
        _quickness = quickness;
        _warmUp = warmUp;
        _startS = startS;
        BinS = binS;
        _walk = walkPerRootMinute * walkPerRootMinute * binS / 60;
        StartVariance = startSigma * startSigma;
    }

    /// <summary>Length of a bin, s.</summary>
    public double BinS { get; }

    /// <summary>Bins filtered.</summary>
    public int Count => _log.Count;

    private double StartVariance { get; }

    /// <summary>The gain at a log time; the nearest known one outside the run.</summary>
    public double At(double atS)
    {
        if (_log.Count == 0) return Math.Exp(_warmUp.At(atS));
        double place = Math.Clamp(((atS - _startS) / BinS) - 0.5, 0, _log.Count - 1);
        int below = (int)place;
        double share = place - below;
        double low = Value(below);
        return Math.Exp(_warmUp.At(atS) + (share == 0 ? low : low + (share * (Value(below + 1) - low))));
    }

    /// <summary>The latest gain: what a pit knows while the car is out.</summary>
    public double Latest => Math.Exp(_warmUp.At(_startS + (_log.Count * BinS)) + (_log.Count == 0 ? 0 : _log[^1]));

    /// <summary>One standard deviation of the logarithm of <see cref="At"/>.</summary>
    public double SigmaAt(double atS)
    {
        if (_log.Count == 0) return Math.Sqrt(StartVariance);
        int bin = Math.Clamp((int)((atS - _startS) / BinS), 0, _log.Count - 1);
        return Math.Sqrt(_smoothedVariance is { } smoothed ? smoothed[bin] : _variance[bin]);
    }

    /// <summary>One standard deviation of the logarithm of <see cref="Latest"/>.</summary>
    public double LatestSigma => Math.Sqrt(_log.Count == 0 ? StartVariance : _variance[^1] + _walked[^1]);

    /// <summary>Filters one more bin.</summary>
    /// <param name="samples">The bin's samples.</param>
    /// <param name="model">Against which they are held.</param>
    public void Add(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        bool first = _log.Count == 0;
        double log = first ? 0 : _log[^1];
        double trend = _warmUp.At(_startS + ((_log.Count + 0.5) * BinS));
        double quick = 1 + (_quickness * Math.Exp(-_log.Count * BinS / WarmUpS));
        double walk = _walk * quick * quick;
        double variance = first ? StartVariance : _variance[^1] + walk;
        double posterior = log, information = 1 / variance;
        for (int pass = 0; pass < 3; pass++)
        {
            double gain = Math.Exp(trend + posterior);
            // Early passes look wide, so that a gain that is far out still finds its readings.
            double scale = model.ScaleFor(information) * (pass == 0 ? 1.6 : 1);
            double score = 0, gained = 0;
            int used = 0;
            foreach (ref readonly PressureSample sample in samples)
            {
                double weight = sample.Calm ? 1 : 0.05;
                double expected = model.Steady(sample.SpeedRpm[model.Lag], sample.ViscosityRatio, gain);
                double slope = model.GainSlope(sample.SpeedRpm[model.Lag], sample.ViscosityRatio, gain);
                double residual = sample.PressureKpa - expected;
                weight *= Robust.Weight(residual, scale);
                if (weight == 0) continue;
                score += weight * slope * (residual + (slope * (posterior - log)));
                gained += weight * slope * slope;
                used++;
            }
            if (used < 3) break;
            // Readings of one bin are not independent: sixteen of them count as one.
            double noise = 16 * scale * scale;
            information = (1 / variance) + (gained / noise);
            posterior = log + (score / noise / information);
        }
        _log.Add(posterior);
        _walked.Add(walk);
        _variance.Add(1 / information);
    }

    /// <summary>Smooths backwards, once the run is over.</summary>
    public void Smooth()
    {
        var smoothed = _log.ToArray();
        var smoothedVariance = _variance.ToArray();
        for (int i = smoothed.Length - 2; i >= 0; i--)
        {
            double share = _variance[i] / (_variance[i] + _walked[i + 1]);
            smoothed[i] = _log[i] + (share * (smoothed[i + 1] - _log[i]));
            smoothedVariance[i] = _variance[i] + (share * share * (smoothedVariance[i + 1] - _variance[i] - _walked[i + 1]));
        }
        _smoothed = smoothed;
        _smoothedVariance = smoothedVariance;
    }

    private double Value(int bin) => _smoothed is { } smoothed ? smoothed[bin] : _log[bin];
}
