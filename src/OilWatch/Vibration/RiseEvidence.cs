namespace OilWatch.Vibration;

/// <summary>The cumulative sum of a rise at one stretch of engine speed, or over all of it.</summary>
internal struct RiseEvidence
{
    private const double MeanS = 0.8;
    private const double ApartS = 1;                   // a longer pause begins another visit
    private const double HealthyShare = 0.5;           // of the reference: a visit whose mean is lower speaks against a rise
    private LogTime _last;
    private LogTime _lastAbove;
    private double _visitRise;
    private double _visitS;
    private double _seenS;

    /// <summary>Excess over the reference, natural log times seconds.</summary>
    public double Sum;

    /// <summary>Seconds above the reference since the sum left 0.</summary>
    public double AboveS;

    /// <summary>How many times it was seen above, apart by a second or more, without a healthy visit between.</summary>
    public int Passes;

    /// <summary>Mean rise over about the last second here, natural log.</summary>
    public double Mean;

    /// <summary>When the sum left 0.</summary>
    public LogTime Since;

    /// <param name="at">When.</param>
    /// <param name="rise">Natural log of level over healthy.</param>
    /// <param name="reference">What does not count yet.</param>
    /// <param name="stepS">What the reading stands for, s.</param>
    /// <param name="fromFirst">True to take the mean from the first reading of the sum on, so that what was healthy before does not weigh on it.</param>
    public void Add(LogTime at, double rise, double reference, double stepS, bool fromFirst = false)
    {
        if (at.SecondsSince(_last) > ApartS) Leave(reference);
        _last = at;
        _visitRise += rise * stepS;
        _visitS += stepS;
        bool was = Sum > 0;
        _seenS = Sum > 0 ? _seenS + stepS : stepS;
        double share = 1 - Math.Exp(-stepS / MeanS);
        Mean += (rise - Mean) * (fromFirst ? Math.Max(share, stepS / Math.Max(_seenS, 1e-3)) : share);
        Sum = Math.Max(0, Sum + ((rise - reference) * stepS));
        if (Sum == 0)
        {
            AboveS = 0;
            Passes = 0;
            return;
        }
        if (!was) Since = at;
        if (rise <= reference) return;
        if (Passes == 0 || at.SecondsSince(_lastAbove) > ApartS) Passes++;
        AboveS += stepS;
        _lastAbove = at;
    }

    /// <summary>
    /// The engine was at other speeds for a while. What is loose shows on every visit; a kerb or a missed gear shows on one, and its sum would stand
    /// until the next one, minutes later.
    /// </summary>
    private void Leave(double reference)
    {
        if (_visitRise < HealthyShare * reference * _visitS)
        {
            Sum *= 0.5;
            AboveS *= 0.5;
            Passes = 0;
        }
        _visitRise = _visitS = 0;
    }
}
