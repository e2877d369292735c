namespace OilWatch.Channels;

/// <summary>What a unit measures.</summary>
internal enum Quantity
{
    /// <summary>A plain number: lap, beacon.</summary>
    None,

    /// <summary>Pressure; base kPa gauge.</summary>
    Pressure,

    /// <summary>Temperature; base °C.</summary>
    Temperature,

    /// <summary>Speed of rotation; base rpm.</summary>
    Rotation,

    /// <summary>Acceleration; base g.</summary>
    Acceleration,

    /// <summary>Vibration as a velocity; base mm/s.</summary>
    VibrationVelocity,

    /// <summary>Speed; base km/h.</summary>
    Speed,

    /// <summary>A part of a whole; base percent.</summary>
    Fraction,

    /// <summary>Length; base m.</summary>
    Length,

    /// <summary>Angle; base degrees.</summary>
    Angle,

    /// <summary>Voltage; base V.</summary>
    Voltage,

    /// <summary>Something that no role measures: time, current, torque, flow, ...</summary>
    Other,
}
