using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Causes;

/// <summary>What a run showed so far, in the numbers that tell one cause from another. NaN where the run does not show it.</summary>
internal sealed record Signature
{
    private const double ChangedSigma = 8;
    private const double ChangedFall = 0.04;
    private const double UnsteadySigma = 4;
    private const double WindowS = 90;
    private const int LeastWindow = 4;
    private const int LeastInStretch = 20;
    private const double LeastScatter = 0.003;
    private const double StaysDown = 0.5;
    private const double LastingS = 15;
    private const double NearS = 60;
    private const double LeastTrueShare = 0.5;
    private const double HighestBefore = 1.2;          // further above, what was expected was not this engine's
    private const double MeasuredFallRatio = 0.20;

    /// <summary>Oil alerts of any severity, one that lasts included.</summary>
    public int Drops { get; init; }

    /// <summary>Of those, caution and above.</summary>
    public int Grave { get; init; }

    /// <summary>Seconds below in all of them.</summary>
    public double DropS { get; init; }

    /// <summary>The longest, s.</summary>
    public double LongestS { get; init; }

    /// <summary>Median length of those under load, s.</summary>
    public double LoadedS { get; init; } = double.NaN;

    /// <summary>Median seconds of load before those under load.</summary>
    public double LoadBeforeS { get; init; } = double.NaN;

    /// <summary>Median engine speed at their worst moments, rpm.</summary>
    public double DropRpm { get; init; } = double.NaN;

    /// <summary>The load under which drops went to half of healthy and less while the engine slowed, to come back within seconds, and how many did.</summary>
    public (LoadDirection Under, int Count) Collapses { get; init; }

    /// <summary>The only load under which pressure is so low for much of the time; none where it is not known or there are others.</summary>
    public LoadDirection MindsAlone { get; init; }

    /// <summary>Share of the drops by direction in the order of <see cref="LoadDirection"/>, each counted by the square root of its deficit.</summary>
    public ImmutableArray<double> Directions { get; init; } = [0, 0, 0, 0, 0];

    /// <summary>Drops at a sensor fault, or that came and went in one reading each.</summary>
    public int Doubtful { get; init; }

    /// <summary>Drops that came and went in one reading each.</summary>
    public int Steps { get; init; }

    /// <summary>Faults of the pressure sensor.</summary>
    public int PressureFaults { get; init; }

    /// <summary>Faults of the engine-speed sensor.</summary>
    public int SpeedFaults { get; init; }

    /// <summary>Faults of every other sensor.</summary>
    public int OtherFaults { get; init; }

    /// <summary>When pressure was deeply lost, not to come back while the engine was asked for it, s of log time; NaN where it was not.</summary>
    public double LostAtS { get; init; } = double.NaN;

    /// <summary>True where what was left then strayed by much of itself within each second.</summary>
    public bool LostErratically { get; init; }

    /// <summary>Faults of engine speed and accelerations, by which a fall of pressure is judged.</summary>
    public int FaultsJudgedBy { get; init; }

    /// <summary>When pressure fell for good, s of log time; NaN when it did not.</summary>
    public double FellAtS { get; init; } = double.NaN;

    /// <summary>How sure that is, in standard errors.</summary>
    public double FellSigma { get; init; }

    /// <summary>When pressure became unsteady for good; NaN when it did not.</summary>
    public double UnsteadyAtS { get; init; } = double.NaN;

    /// <summary>By how much it became more unsteady at steady engine speed.</summary>
    public FlutterGrowth Flutter { get; init; } = FlutterGrowth.None;

    /// <summary>When that began, s of log time; NaN when it did not.</summary>
    public double FlutterAtS { get; init; } = double.NaN;

    /// <summary>Before the change; the whole run where there was none.</summary>
    public SignaturePart Before { get; init; } = new();

    /// <summary>After the change; the whole run where there was none.</summary>
    public SignaturePart After { get; init; } = new();

    /// <summary>Level against a reference and the rule of thumb.</summary>
    public LevelSignature Level { get; init; } = LevelSignature.Unknown;

    /// <summary>True when what is healthy was learned while the run went on: a ratio may then fall because of that.</summary>
    public bool AsItRan { get; init; }

    /// <summary>Whether the fall for good is the valve's or the pump's.</summary>
    public FallKind Kind { get; init; } = FallKind.Unknown;

    /// <summary>How pressure changed where it fell for good or became unsteady: known after the run only.</summary>
    public ChangeCourse Course { get; init; } = ChangeCourse.Unknown;

    /// <summary>How pressure went within the run at like engine speed and oil temperature: known after the run only.</summary>
    public MatchedFall Matched { get; init; } = MatchedFall.Unknown;

    /// <summary>What the contacts of the pressure sensor showed: known after the run only.</summary>
    public ContactSigns Contact { get; init; } = ContactSigns.None;

    /// <summary>Drops that took more than the largest step of a loose contact can.</summary>
    public int Deeper { get; init; }

    /// <summary>That step, as a share of what was expected in the run; 0 without one.</summary>
    public double StepShare { get; init; }

    /// <summary>Falls at a corner at which pressure had fallen on an earlier lap.</summary>
    public int Repeats { get; init; }

    /// <summary>True when pressure fell for good during the run.</summary>
    public bool Fell => !double.IsNaN(FellAtS);

    /// <summary>How far the ratio fell at the change; 0 without one.</summary>
    public double FallRatio => !Fell ? 0 : double.IsNaN(MeasuredFall) ? Before.Ratio - After.Ratio : MeasuredFall;

    /// <summary>How far pressure itself fell at equal engine speed, as a share, where what is expected fell with it; NaN otherwise.</summary>
    public double MeasuredFall { get; init; } = double.NaN;

    /// <summary>Share of the drops that no load explains.</summary>
    public double Unloaded => Drops == 0 ? 0 : Directions[(int)LoadDirection.None];

    /// <summary>The direction with most of the drops, and its share of those under load.</summary>
    public (LoadDirection Direction, double Share) Main
    {
        get
        {
            LoadDirection best = LoadDirection.None;
            double most = 0;
            for (int i = 1; i < Directions.Length; i++)
            {
                if (Directions[i] <= most) continue;
                most = Directions[i];
                best = (LoadDirection)i;
            }
            double loaded = 1 - Directions[(int)LoadDirection.None];
            return (best, loaded > 0 ? most / loaded : 0);
        }
    }

    /// <summary>Share of the drops that look like the sensor's doing.</summary>
    public double DoubtfulShare => Drops == 0 ? 0 : (double)Doubtful / Drops;

    /// <summary>Measures what a run showed so far.</summary>
    /// <param name="tally">How pressure stood against healthy.</param>
    /// <param name="drops">Its alerts that are over.</param>
    /// <param name="open">The drop that lasts, or null.</param>
    public static Signature Of(SignatureTally tally, DropTally drops, Alert? open)
    {
        int count = tally.Stretches.Count;
        Span<double> ratios = count <= 128 ? stackalloc double[count] : new double[count];
        Span<double> steadiness = count <= 128 ? stackalloc double[count] : new double[count];
        for (int i = 0; i < count; i++)
        {
            SignatureTally.Cell fast = tally.Stretches[i].Over(StretchSums.FirstFastBin, SignatureTally.Bins, 0, SignatureTally.Loads);
            ratios[i] = fast.Count >= LeastInStretch ? fast.Ratio / fast.Count : double.NaN;
            // Its logarithm, because scatter changes by factors; what is under 0.3 % is the sensor's own step.
            steadiness[i] = -Math.Log(tally.Stretches[i].Scatter() + LeastScatter);
        }
        int window = Math.Max(LeastWindow, (int)(WindowS / tally.StretchS));
        ChangePoint fell = ChangePoint.Fall(ratios, window);
        (SignaturePart before, SignaturePart after) = fell.Sigma >= ChangedSigma ? Around(tally, fell.Stretch, window) : default;
        int near = Math.Max(LeastWindow, (int)(NearS / tally.StretchS));
        // As it runs, what is expected is learned anew again and again: a ratio that falls while pressure does not is the model's doing.
        bool hasFallen = fell.Sigma >= ChangedSigma && before.Ratio - after.Ratio >= ChangedFall && !(before.Ratio > HighestBefore)
            && !(PressureFall.Of(tally, fell.Stretch, near) < LeastTrueShare * (before.Ratio - after.Ratio));
        double openS = open?.DurationS ?? 0, measured = double.NaN;
        int lasting = openS > drops.LongestS ? tally.StretchOf(open!.Start) : drops.LongestS > 0 ? tally.StretchOf(drops.LongestStart) : -1;
        if (!hasFallen && lasting >= 0 && Math.Max(openS, drops.LongestS) >= LastingS)
        {
            // What is expected may have been learned from what came after: then pressure itself tells, at equal engine speed, shortly before and after.
            measured = PressureFall.Of(tally, lasting, near);
            hasFallen = measured >= MeasuredFallRatio;
            if (hasFallen)
            {
                fell = new ChangePoint(lasting, ChangedSigma);
                (before, after) = Parts(tally, lasting - (3 * window), lasting, lasting + near);
            }
            else
            {
                measured = double.NaN;
            }
        }
        ChangePoint unsteady = ChangePoint.Fall(steadiness, int.MaxValue);
        bool isUnsteady = unsteady.Sigma >= UnsteadySigma;
        if (!hasFallen) (before, after) = Parts(tally, 0, isUnsteady ? unsteady.Stretch : -1, int.MaxValue);
        FlutterGrowth flutter = FlutterGrowth.Of(tally);
        var directions = new double[5];
        for (int i = 0; i < directions.Length; i++) directions[i] = drops.Share((LoadDirection)i);
        if (open is not null && drops.Drops == 0) directions[(int)open.Direction] = 1;
        return new Signature
        {
            Drops = drops.Drops + (open is null ? 0 : 1),
            Grave = drops.Grave + (open is { Severity: >= Severity.Caution } ? 1 : 0),
            DropS = drops.DropS + openS,
            LongestS = Math.Max(drops.LongestS, openS),
            LoadedS = drops.LoadedS,
            LoadBeforeS = drops.LoadBeforeS,
            DropRpm = drops.SpeedRpm,
            Directions = [.. directions],
            Doubtful = drops.Doubtful,
            Repeats = drops.Repeats,
            Collapses = drops.Collapses,
            Steps = drops.Steps,
            PressureFaults = drops.FaultsOf(Role.OilPressure),
            SpeedFaults = drops.FaultsOf(Role.EngineSpeed),
            OtherFaults = drops.OtherFaults - drops.FaultsOf(Role.EngineSpeed),
            FaultsJudgedBy = drops.FaultsJudgedBy,
            LostAtS = drops.LostAt?.Seconds ?? double.NaN,
            LostErratically = drops.LostErratically,
            FellAtS = hasFallen ? tally.MiddleOf(fell.Stretch).Seconds : double.NaN,
            MeasuredFall = measured,
            FellSigma = hasFallen ? fell.Sigma : 0,
            UnsteadyAtS = isUnsteady ? tally.MiddleOf(unsteady.Stretch).Seconds : double.NaN,
            Flutter = flutter,
            FlutterAtS = flutter.AfterStretch >= 0 ? tally.MiddleOf(flutter.AfterStretch).Seconds : double.NaN,
            Before = before,
            After = after,
        };
    }

    /// <summary>The parts before and after a fall. After it, all that is left of the run, unless the expectation has followed the fall: then the window alone.</summary>
    private static (SignaturePart Before, SignaturePart After) Around(SignatureTally tally, int split, int window)
    {
        (SignaturePart before, SignaturePart near) = Parts(tally, split - (3 * window), split, split + window);
        (_, SignaturePart rest) = Parts(tally, split - (3 * window), split, int.MaxValue);
        double fall = before.Ratio - near.Ratio;
        return (before, before.Ratio - rest.Ratio >= StaysDown * fall ? rest : near);
    }

    private static (SignaturePart Before, SignaturePart After) Parts(SignatureTally tally, int from, int split, int to)
    {
        from = Math.Max(from, 0);
        int count = to < tally.Stretches.Count ? to + 1 : tally.Stretches.Count;
        if (split >= 0) return (SignaturePart.Of(tally, from, split), SignaturePart.Of(tally, split + 1, count));
        SignaturePart whole = SignaturePart.Of(tally, from, count);
        return (whole, whole);
    }
}
