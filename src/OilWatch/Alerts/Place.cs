namespace OilWatch.Alerts;

/// <summary>Where on the circuit something happened.</summary>
/// <param name="Lap">Lap number as the log counts it, or null.</param>
/// <param name="Corner">Corner label such as <c>C3L</c>, or null.</param>
public readonly record struct Place(int? Lap, string? Corner);
