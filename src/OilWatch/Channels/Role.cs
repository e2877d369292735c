namespace OilWatch.Channels;

/// <summary>What a channel is for. The number is the role's place in an <see cref="Frames.EngineFrame"/>.</summary>
public enum Role
{
    /// <summary>Engine oil pressure, kPa gauge.</summary>
    OilPressure = 0,

    /// <summary>Engine oil temperature, °C.</summary>
    OilTemperature = 1,

    /// <summary>Engine speed, rpm.</summary>
    EngineSpeed = 2,

    /// <summary>Lateral acceleration, g; positive in a left-hand corner.</summary>
    LateralG = 3,

    /// <summary>Longitudinal acceleration, g; positive when the car gains speed, negative under braking.</summary>
    LongitudinalG = 4,

    /// <summary>Crankcase pressure, kPa gauge; below ambient is negative.</summary>
    CrankcasePressure = 5,

    /// <summary>Vehicle speed, km/h.</summary>
    VehicleSpeed = 6,

    /// <summary>Throttle opening, percent.</summary>
    Throttle = 7,

    /// <summary>Lap number as the log counts it.</summary>
    Lap = 8,

    /// <summary>Beacon: a value that changes when the start line is passed.</summary>
    Beacon = 9,

    /// <summary>Distance, m; along the lap or since the start of the log.</summary>
    Distance = 10,

    /// <summary>Latitude, degrees north, WGS84.</summary>
    Latitude = 11,

    /// <summary>Longitude, degrees east, WGS84.</summary>
    Longitude = 12,

    /// <summary>Vibration: a level or a raw waveform, g; a level may be a velocity instead, mm/s.</summary>
    Vibration = 13,

    /// <summary>Fuel pressure, kPa gauge.</summary>
    FuelPressure = 14,

    /// <summary>Coolant temperature, °C.</summary>
    WaterTemperature = 15,

    /// <summary>Battery voltage, V.</summary>
    BatteryVoltage = 16,
}
