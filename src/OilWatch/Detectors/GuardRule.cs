using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>What is possible for one role.</summary>
/// <param name="Role">The role.</param>
/// <param name="Low">Lowest value believed, in the role's unit.</param>
/// <param name="High">Highest value believed.</param>
/// <param name="SlewPerS">Fastest change believed, a second; infinite where only falls are judged.</param>
/// <param name="FallTimeS">Shortest time constant of a fall towards zero, s; 0 where slew decides.</param>
/// <param name="DeadAt">A value no farther from zero than this after an impossible step is a dropout; negative where it is not.</param>
/// <param name="RestBand">Within this of zero the value may rest for long.</param>
/// <param name="LeastSpike">Smallest isolated step that counts as a spike.</param>
/// <param name="ContextMove">Relative change of the context that must move this value.</param>
/// <param name="StuckAfterS">Same value for longer than this is stuck, s.</param>
/// <param name="ReportAfterS">A shorter fault is not reported, s.</param>
internal readonly record struct GuardRule(
    Role Role, double Low, double High, double SlewPerS, double FallTimeS, double DeadAt, double RestBand, double LeastSpike,
    double ContextMove, double StuckAfterS, double ReportAfterS)
{
    /// <summary>True when the value cannot have gone from <paramref name="from"/> to <paramref name="to"/> in the time.</summary>
    /// <param name="from">The last value believed.</param>
    /// <param name="to">The new value.</param>
    /// <param name="seconds">The time between them.</param>
    /// <param name="noise">A change that noise alone can make.</param>
    public bool IsImpossible(double from, double to, double seconds, double noise)
    {
        double apart = Math.Abs(to - from);
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
        Math.Abs(value - good) <= Math.Max(LeastSpike, noise) + (0.15 * Math.Abs(good)) + (0.15 * SlewPerS * Math.Min(seconds, 0.5));

    /// <summary>True when a value is as good as zero after <paramref name="good"/>.</summary>
    public bool IsDead(double value, double good) =>
        DeadAt >= 0 && Math.Abs(value) <= Math.Max(DeadAt, 0.05 * Math.Abs(good)) && Math.Abs(good) > 3 * DeadAt;

    /// <summary>True where the value may rest for long without being stuck.</summary>
    public bool RestsAt(double value) => Math.Abs(value) <= RestBand;
}
