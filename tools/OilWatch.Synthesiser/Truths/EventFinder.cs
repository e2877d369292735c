using OilWatch.Synthesiser.Oil;

namespace OilWatch.Synthesiser.Truths;

/// <summary>Finds the true events in the true series, by the definitions of the result files.</summary>
internal sealed class EventFinder
{
    private const double WithinHealthy = 0.97;
    private const double AdvisoryRatio = 0.90;
    private const double CautionRatio = 0.75;
    private const double CautionHoldS = 0.15;
    private const double CautionRpm = 2500;
    private const double MergeS = 0.5;

    // Less healthy pressure than this is an engine that stands, cranks or stalls: nothing to compare with.
    private const double LeastHealthyKpa = 40;

    // A drop may begin this long after the corner: the oil takes that long to come back.
    private const double AfterCornerS = 1.5;

    private readonly OilSystem _oil;
    private readonly double _stepS;
    private readonly double[] _ratio;
    private readonly double[] _rpm;

    internal EventFinder(OilSystem oil, double[] rpm, double stepS)
    {
        _oil = oil;
        _rpm = rpm;
        _stepS = stepS;
        _ratio = new double[rpm.Length];
        for (int i = 0; i < _ratio.Length; i++)
            _ratio[i] = oil.HealthyKpa[i] > LeastHealthyKpa ? oil.PressureKpa[i] / oil.HealthyKpa[i] : 1;
    }

    /// <summary>The corner passes that merging and labels go by; in order of time.</summary>
    internal required IReadOnlyList<(string Label, double EntryS, double ExitS)> Passes { get; init; }

    /// <summary>The pan.</summary>
    internal required Pan Pan { get; init; }

    /// <summary>Lap number of each sample.</summary>
    internal required int[] Lap { get; init; }

    /// <summary>The lasting problem, and when it began; null without.</summary>
    internal (string Kind, double FromS)? Condition { get; init; }

    internal IReadOnlyList<TrueEvent> Find()
    {
        var drops = new List<(int From, int To)>();
        for (int i = 0; i < _ratio.Length; i++)
        {
            if (_ratio[i] >= AdvisoryRatio) continue;
            int from = i;
            while (i < _ratio.Length && _ratio[i] < AdvisoryRatio) i++;
            if (drops.Count > 0 && IsSame(drops[^1], from)) drops[^1] = (drops[^1].From, i);
            else drops.Add((from, i));
        }

        return [.. drops.Select(Describe)];
    }

    private bool IsSame((int From, int To) drop, int from) =>
        (from - drop.To) * _stepS < MergeS
        || (PassAt(drop.From) is { } pass && PassAt(from) == pass);

    private int? PassAt(int sample)
    {
        double t = sample * _stepS;
        int? found = null;
        for (int i = 0; i < Passes.Count; i++)
            if (t >= Passes[i].EntryS && t <= Passes[i].ExitS + AfterCornerS) found = i;
        return found;
    }

    private TrueEvent Describe((int From, int To) drop)
    {
        int start = drop.From;
        while (start > 0 && _ratio[start] < WithinHealthy) start--;
        int worst = drop.From;
        int pass25 = -1, caution = 0, run = 0, hold = 0;
        for (int i = drop.From; i < drop.To; i++)
        {
            if (_ratio[i] < _ratio[worst]) worst = i;
            bool counts = _ratio[i] <= CautionRatio;
            if (counts && pass25 < 0) pass25 = i;
            counts &= _rpm[i] > CautionRpm;
            if (counts) caution++;
            run = counts ? run + 1 : 0;
            hold = Math.Max(hold, run);
        }

        double step = _stepS;
        double x = _oil.SloshLateralG[drop.From];
        double y = _oil.SloshLongitudinalG[drop.From];
        bool byCondition = Condition is { } condition && drop.From * step >= condition.FromS;
        double cautionS = caution * step, holdS = hold * step, minRatio = _ratio[worst];
        return new TrueEvent
        {
            Kind = byCondition ? "low-oil-pressure" : "oil-starvation",
            StartS = start * step,
            Pass10S = drop.From * step,
            Pass25S = pass25 < 0 ? null : pass25 * step,
            EndS = drop.To * step,
            MinRatio = minRatio,
            MinKpa = _oil.PressureKpa[worst],
            ExpectedKpa = _oil.HealthyKpa[worst],
            RpmAtMin = _rpm[worst],
            Direction = byCondition ? null : Direction(x, y),
            Corner = PassAt(drop.From) is { } pass ? Passes[pass].Label : null,
            Lap = Lap[drop.From],
            CautionS = cautionS,
            CautionHoldS = holdS,
            Severity = holdS >= CautionHoldS ? "caution" : "advisory",
            Borderline = cautionS is > 0.05 and < 0.30 || holdS is > 0.05 and < 0.30 || minRatio is > 0.70 and < 0.80
                || (byCondition && Condition?.Kind is "aeration"),
            Condition = byCondition ? Condition?.Kind : null,
        };
    }

    // The load that lowers the surface at the pickup most.
    private string Direction(double x, double y)
    {
        double sideways = Pan.FallMm(x, 0);
        double along = Pan.FallMm(0, y);
        return sideways >= along ? x > 0 ? "left" : "right" : y > 0 ? "accelerating" : "braking";
    }
}
