namespace OilWatch.Causes;

/// <summary>How well a cause fits.</summary>
/// <param name="Cause">The cause.</param>
/// <param name="Score">Weight of its tests that hold, as a share of those that could be made, 0 to 1; 0 when one that must hold does not.</param>
public readonly record struct CauseScore(Cause Cause, double Score);
