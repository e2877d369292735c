using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>A corner of the circuit, the same on every lap.</summary>
/// <param name="Index">Counted from 0 along the lap.</param>
/// <param name="Label">Such as <c>C3L</c>: third corner of the lap, left.</param>
/// <param name="Direction">Left or right.</param>
/// <param name="FromM">Where it begins, m after the line on the reference lap.</param>
/// <param name="ToM">Where it ends, m after the line.</param>
public sealed record Corner(int Index, string Label, LoadDirection Direction, double FromM, double ToM);
