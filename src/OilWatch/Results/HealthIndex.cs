namespace OilWatch.Results;

/// <summary>A number kept for comparing sessions: a measurement at fixed reference conditions.</summary>
/// <param name="Key">Such as <c>oil_pressure_100c_4000rpm_kpa</c>.</param>
/// <param name="Value">Its value in the unit that the key names.</param>
/// <param name="Spread">One standard deviation of it, same unit, or null when not known.</param>
public sealed record HealthIndex(string Key, double Value, double? Spread);
