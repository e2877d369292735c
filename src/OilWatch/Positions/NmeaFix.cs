namespace OilWatch.Positions;

/// <summary>What one NMEA 0183 sentence says. Absent is NaN, for date and time null.</summary>
public readonly record struct NmeaFix
{
    /// <summary>Nothing known.</summary>
    public NmeaFix()
    {
    }

    /// <summary>Degrees north, -90 to 90.</summary>
    public double LatitudeDeg { get; init; } = double.NaN;

    /// <summary>Degrees east, -180 to 180.</summary>
    public double LongitudeDeg { get; init; } = double.NaN;

    /// <summary>Above mean sea level, m.</summary>
    public double AltitudeM { get; init; } = double.NaN;

    /// <summary>Speed over ground, km/h.</summary>
    public double SpeedKmh { get; init; } = double.NaN;

    /// <summary>Direction of travel, degrees clockwise from true north, 0 to 360.</summary>
    public double CourseDeg { get; init; } = double.NaN;

    /// <summary>Horizontal dilution of precision.</summary>
    public double Hdop { get; init; } = double.NaN;

    /// <summary>Universal time since midnight.</summary>
    public TimeSpan? TimeOfDay { get; init; }

    /// <summary>Date, universal time.</summary>
    public DateOnly? Date { get; init; }
}
