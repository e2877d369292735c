namespace OilWatch.Alerts;

/// <summary>Says where on the circuit something began.</summary>
/// <param name="at">When it began.</param>
/// <param name="direction">Which way the load acted; <see cref="LoadDirection.None"/> for none.</param>
public delegate Place PlaceFinder(LogTime at, LoadDirection direction);
