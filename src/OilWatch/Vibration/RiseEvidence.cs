namespace OilWatch.Vibration;

/// <summary>The cumulative sum of a rise at one stretch of engine speed, or over all of it.</summary>
internal struct RiseEvidence
{
    private const double MeanS = 0.8;
    private LogTime _lastAbove;

    /// <summary>Excess over the reference, natural log times seconds.</summary>
    public double Sum;

    /// <summary>Seconds above the reference since the sum left 0.</summary>
    public double AboveS;

    /// <summary>How many times it was seen above, apart by a second or more.</summary>
    public int Passes;

    /// <summary>Mean rise over about the last second here, natural log.</summary>
    public double Mean;

    /// <summary>When the sum left 0.</summary>
    public LogTime Since;

    public void Add(LogTime at, double rise, double reference, double stepS)
    {
        bool was = Sum > 0;
        Mean += (rise - Mean) * (1 - Math.Exp(-stepS / MeanS));
        Sum = Math.Max(0, Sum + ((rise - reference) * stepS));
        if (Sum == 0)
        {
            AboveS = 0;
            Passes = 0;
            return;
        }
        if (!was) Since = at;
        if (rise <= reference) return;
        if (Passes == 0 || at.SecondsSince(_lastAbove) > 1) Passes++;
        AboveS += stepS;
        _lastAbove = at;
    }
}
