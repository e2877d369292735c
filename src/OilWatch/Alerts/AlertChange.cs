namespace OilWatch.Alerts;

/// <summary>A step in an alert's life. Every <see cref="AlertPhase.Raised"/> is followed by exactly one <see cref="AlertPhase.Ended"/>.</summary>
/// <param name="Phase">Which step.</param>
/// <param name="At">The log time at which the step was known.</param>
/// <param name="Id">The alert's number within its run, counted from 1 in the order of raising, the same in all its steps.</param>
/// <param name="Alert">The alert as it stands.</param>
public sealed record AlertChange(AlertPhase Phase, LogTime At, int Id, Alert Alert);
