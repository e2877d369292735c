using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>What is possible for one role.</summary>
/// <param name="Role">The role.</param>
/// <param name="Low">Lowest value believed, in the role's unit.</param>
/// <param name="High">Highest value believed.</param>
/// <param name="ReportAfterS">A shorter fault is not reported, s.</param>
internal readonly record struct GuardRule(Role Role, double Low, double High, double ReportAfterS)
{
    /// <summary>Stands for "not judged"; finite, so that nothing becomes NaN.</summary>
    public const double Never = 1e9;

    private const double NearHeat = 0.6;               // of the smallest leap
    private const double LongestHeatS = 30;

    /// <summary>Fastest change believed, a second; <see cref="Never"/> where it is not judged.</summary>
    public double SlewPerS { get; init; } = Never;

    /// <summary>Shortest time constant of a fall towards zero, s; 0 where slew decides.</summary>
    public double FallTimeS { get; init; }

    /// <summary>A value no farther from zero than this after an impossible step is a dropout; negative where it is not.</summary>
    public double DeadAt { get; init; } = -1;

    /// <summary>Within this of zero the value may rest for long; negative where it may not.</summary>
    public double RestBand { get; init; } = -1;

    /// <summary>True where zero that was come to by a possible way is never a stuck sensor: the value may truly be nothing.</summary>
    public bool ZeroIsPossible { get; init; }

    /// <summary>From zero up to this a value that was come to by a possible way is never a stuck sensor either: noise goes with the value, and what little is left may stand within one step.</summary>
    public double StandsUpTo { get; init; } = -1;

    /// <summary>Within this the value may stand while its context is steady, s.</summary>
    public double SteadyS { get; init; }

    /// <summary>True where the value may rest for long near the lowest and the highest it ever showed.</summary>
    public bool RestsAtEnds { get; init; }

    /// <summary>Smallest isolated step that counts as wild.</summary>
    public double LeastSpike { get; init; } = Never;

    /// <summary>Smallest step that, over and over to and fro between the same two levels, is nonsense.</summary>
    public double LeastFlip { get; init; } = Never;

    /// <summary>Smallest step there and back, reading by reading, that is nonsense where it comes again and again; <see cref="Never"/> where it is not judged.</summary>
    public double LeastTurn { get; init; } = Never;

    /// <summary>True where equal readings have an honest cause while nothing else changes: an engine speed is counted, not noisy, and on a limiter it truly stands.</summary>
    public bool MayStand { get; init; }

    /// <summary>False where single wild readings have honest causes.</summary>
    public bool CountsWild { get; init; } = true;

    /// <summary>True where a large step one way and a large one back between neighbouring readings are both more than the value's lag allows.</summary>
    public bool LagForbidsReversals { get; init; }

    /// <summary>Relative change of the context that must move this value.</summary>
    public double ContextMove { get; init; } = 0.05;

    /// <summary>Same value for longer than this is stuck, s; <see cref="Never"/> where it is not judged.</summary>
    public double StuckAfterS { get; init; } = Never;

    /// <summary>Same value for longer than this many of the channel's usual runs is stuck.</summary>
    public double StuckUsuals { get; init; } = 2.2;

    /// <summary>True for a slow channel: stuck and silent are judged only against what is known to be usual for it, and a stuck one needs its context moved.</summary>
    public bool IsSlow { get; init; }

    /// <summary>True where a change that is too fast is never believed for going on quietly: heat takes its time.</summary>
    public bool CannotLeap { get; init; }

    /// <summary>Smallest rise from one reading to the next, 0.06 s apart at most, that is never believed for going on quietly; <see cref="Never"/> where it is not judged.</summary>
    public double LeastRise { get; init; } = Never;

    /// <summary>What a value that cannot leap can change by while it is not believed, a second.</summary>
    public double DriftPerS { get; init; } = 1;

    /// <summary>Fastest rise over more than one reading, a second; <see cref="Never"/> where only single steps are judged.</summary>
    public double RisePerS { get; init; } = Never;

    /// <summary>Fastest fall over more than one reading, a second; where <see cref="MayFall"/>, the slowest that what lies behind a faster one has.</summary>
    public double FallPerS { get; init; } = Never;

    /// <summary>True where any fall is possible, and with it the way back up: a wheel locks.</summary>
    public bool MayFall { get; init; }

    /// <summary>True where noise may be larger than the steps: then a value that stands still is told by that alone.</summary>
    public bool Flickers { get; init; }

    /// <summary>How long a value must stand still at least where noise moves it, s: what wanders slowly stands longer by chance than its runs tell.</summary>
    public double LeastStandS { get; init; }

    /// <summary>A fault about which there is no doubt, no reading or the same one over and over, is reported after this, s.</summary>
    public double SureAfterS { get; init; } = ReportAfterS;

    /// <summary>A wild value, or the higher one of two between which it leaps, is at least this many times the other; 0 where size alone decides.</summary>
    public double SpikeTimes { get; init; }

    /// <summary>True where a value may leap anywhere within a tenth of a second: only what is quicker there and back is wild.</summary>
    public bool MaySnap { get; init; }

    /// <summary>True where a level at which the sensor was found railed is not believed again at once.</summary>
    public bool LearnsRails { get; init; }

    /// <summary>What a sensor at the end of its range flickers by, as a share of the reading; 0 where it must stand still to the last digit there.</summary>
    public double RailFlicker { get; init; }

    /// <summary>True where a change is followed over more than one reading.</summary>
    public bool Follows => RisePerS < Never;

    /// <summary>True when a value is farther than a spike from what the last ones can have come to.</summary>
    /// <param name="followed">The value that moves no faster than this one can.</param>
    /// <param name="value">The value.</param>
    public bool IsAhead(double followed, double value) => MayFall ? value - followed > LeastSpike : Math.Abs(value - followed) > LeastSpike;

    /// <summary>True when the value cannot have gone from <paramref name="from"/> to <paramref name="to"/> in the time.</summary>
    /// <param name="from">The last value believed.</param>
    /// <param name="to">The new value.</param>
    /// <param name="seconds">The time between them.</param>
    /// <param name="noise">A change that noise alone can make.</param>
    public bool IsImpossible(double from, double to, double seconds, double noise)
    {
        double apart = Math.Abs(to - from);
        if (MayFall && to < from) return false;
        if (apart < Math.Max(LeastSpike, noise)) return false;
        // Towards zero the fastest fall is exponential; 20 % of a high reading is noise and ripple, not a fall.
        if (FallTimeS > 0 && to < 0.8 * from && to < from * Math.Exp(-seconds / FallTimeS)) return true;
        return apart > (SlewPerS * seconds) + (0.1 * Math.Abs(from));
    }

    /// <summary>True when a value is back about where it was before a doubtful one.</summary>
    /// <param name="good">The last value believed.</param>
    /// <param name="value">The new value.</param>
    /// <param name="seconds">The time since it.</param>
    /// <param name="noise">A change that noise alone can make.</param>
    public bool IsNear(double good, double value, double seconds, double noise) =>
        CannotLeap
            ? (MayFall ? value - good : Math.Abs(value - good)) <= (NearHeat * LeastSpike) + (DriftPerS * Math.Min(seconds, LongestHeatS))
            : Math.Abs(value - good) <= Math.Max(LeastSpike, noise) + (0.15 * Math.Abs(good)) + (0.15 * SlewPerS * Math.Min(seconds, 0.5));

    /// <summary>True when a value is as good as zero after <paramref name="good"/>.</summary>
    public bool IsDead(double value, double good) =>
        DeadAt >= 0 && Math.Abs(value) <= Math.Max(DeadAt, 0.05 * Math.Abs(good)) && Math.Abs(good) > 3 * DeadAt;

    /// <summary>True where the value may rest for long without being stuck.</summary>
    public bool RestsAt(double value) => Math.Abs(value) <= RestBand;
}
