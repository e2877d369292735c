namespace OilWatch.Live.Life;

/// <summary>How patient to be with alerts of one kind.</summary>
/// <param name="OnDelayS">An alert is said only when it has lasted so long, s of log time, 0 or more. Warnings, and alerts that become one, are said at once whatever this is.</param>
/// <param name="OffDelayS">An alert is over only when it has been gone so long, s of log time, 0 or more; coming back sooner it is the same alert.</param>
/// <param name="Deadband">While an alert is over and not acknowledged, another like it is added to it without a word unless it is graver, or its ratio of pressure to
/// healthy pressure goes lower by more than this, 0 to 1.</param>
public readonly record struct KindLife(double OnDelayS = 0, double OffDelayS = 0, double Deadband = 0);
