namespace OilWatch.Reading.Nmea;

/// <summary>What the sentences of one instant say together. Absent is NaN.</summary>
/// <param name="At">When, in the log's time base.</param>
/// <param name="LatitudeDeg">Degrees north (WGS84).</param>
/// <param name="LongitudeDeg">Degrees east (WGS84).</param>
/// <param name="SpeedKmh">Speed over ground, km/h.</param>
internal readonly record struct NmeaEpoch(LogTime At, double LatitudeDeg, double LongitudeDeg, double SpeedKmh);
