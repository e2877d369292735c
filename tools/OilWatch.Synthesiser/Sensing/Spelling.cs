using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Sensing;

/// <summary>How a log names a channel and in what unit it writes it.</summary>
/// <param name="Name">Channel name.</param>
/// <param name="Unit">Unit as written.</param>
/// <param name="Scale">Logged value times this ...</param>
/// <param name="Offset">... plus this is the value in the role's unit.</param>
public sealed record Spelling(string Name, string Unit, double Scale, double Offset)
{
    // kPa a psi: definition of the pound-force and the inch. kPa an inch of mercury: conventional, at 0 °C.
    private const double KpaPerPsi = 6.894757293168361;
    private const double KpaPerInHg = 3.386389;
    private const double G = 9.80665;

    private static readonly (string Unit, double Scale, double Offset)[] Pressures = [("kPa", 1, 0), ("bar", 100, 0), ("psi", KpaPerPsi, 0)];
    private static readonly (string Unit, double Scale, double Offset)[] Temperatures =
        [("degC", 1, 0), ("°C", 1, 0), ("degF", 5.0 / 9, -160.0 / 9), ("C", 1, 0), ("F", 5.0 / 9, -160.0 / 9)];

    private static readonly (string Unit, double Scale, double Offset)[] Accelerations = [("g", 1, 0), ("G", 1, 0), ("m/s2", 1 / G, 0), ("m/s^2", 1 / G, 0)];
    private static readonly (string Unit, double Scale, double Offset)[] Speeds = [("km/h", 1, 0), ("mph", 1.609344, 0), ("m/s", 3.6, 0), ("kph", 1, 0)];

    /// <summary>The plain spelling of a role, in the role's unit.</summary>
    public static Spelling Plain(string role) => role switch
    {
        "oil_pressure" => new("Oil Press", "kPa", 1, 0),
        "oil_temperature" => new("Oil Temp", "degC", 1, 0),
        "engine_speed" => new("Engine Speed", "rpm", 1, 0),
        "lateral_g" => new("G Lat", "g", 1, 0),
        "longitudinal_g" => new("G Long", "g", 1, 0),
        "crankcase_pressure" => new("Crankcase Press", "kPa", 1, 0),
        "vehicle_speed" => new("Speed", "km/h", 1, 0),
        "throttle" => new("Throttle", "%", 1, 0),
        "lap" => new("Lap", "", 1, 0),
        "beacon" => new("Beacon", "", 1, 0),
        "distance" => new("Distance", "m", 1, 0),
        "latitude" => new("Latitude", "deg", 1, 0),
        "longitude" => new("Longitude", "deg", 1, 0),
        "vibration" => new("Vibration", "g", 1, 0),
        "fuel_pressure" => new("Fuel Press", "kPa", 1, 0),
        "water_temperature" => new("Water Temp", "degC", 1, 0),
        "battery_voltage" => new("Battery", "V", 1, 0),
        _ => throw new ArgumentException($"there is no role '{role}'", nameof(role)),
    };

    /// <summary>One of the usual spellings of a role.</summary>
    /// <param name="role">The role's key.</param>
    /// <param name="isDrySump">True where the crankcase is under vacuum, which some log as a positive number.</param>
    /// <param name="random">Where the choice comes from.</param>
    public static Spelling Draw(string role, bool isDrySump, SeededRandom random)
    {
        switch (role)
        {
            case "oil_pressure": return With(["Oil Press", "OilPressure", "Oil Pressure", "P_Oil", "EngOilPress", "oil_pressure"], Pressures);
            case "oil_temperature": return With(["Oil Temp", "OilTemp", "Oil Temperature", "T_Oil", "EngOilTemp"], Temperatures);
            case "water_temperature": return With(["Water Temp", "Coolant Temp", "T_Water", "ECT", "WaterTemp"], Temperatures);
            case "engine_speed": return With(["RPM", "Engine Speed", "EngineSpeed", "Eng RPM", "nEngine"], [("rpm", 1, 0), ("1/min", 1, 0)]);
            case "lateral_g": return With(["G Lat", "LatAcc", "Lateral Accel", "GLat", "Lateral G", "AccelLat"], Accelerations);
            case "longitudinal_g": return With(["G Long", "LongAcc", "Longitudinal Accel", "GLong", "AccelLong"], Accelerations);
            case "vehicle_speed": return With(["Speed", "Vehicle Speed", "VehSpeed", "Wheel Speed", "GPS Speed"], Speeds);
            case "throttle": return With(["Throttle", "TPS", "Throttle Pos", "ThrottlePosition"], [("%", 1, 0)]);
            case "fuel_pressure": return With(["Fuel Press", "FuelPressure", "P_Fuel"], Pressures);
            case "battery_voltage": return With(["Battery", "Batt Volts", "Battery Voltage", "VBat"], [("V", 1, 0)]);
            case "crankcase_pressure" when isDrySump && random.Chance(0.4): return new("Crankcase Vacuum", "inHg", -KpaPerInHg, 0);
            case "crankcase_pressure": return With(["Crankcase Press", "CrankcasePressure", "P_Crankcase"], [("kPa", 1, 0), ("mbar", 0.1, 0), ("psi", KpaPerPsi, 0)]);
            case "vibration": return With(["Vibration", "Vib RMS", "Engine Vibration"], [("g", 1, 0)]);
            case "lap": return With(["Lap", "Lap Number", "LapNo"], [("", 1, 0)]);
            case "beacon": return With(["Beacon", "Lap Beacon"], [("", 1, 0)]);
            case "distance": return With(["Distance", "Dist"], [("m", 1, 0)]);
            case "latitude": return With(["Latitude", "GPS Latitude", "Lat"], [("deg", 1, 0)]);
            case "longitude": return With(["Longitude", "GPS Longitude", "Lon"], [("deg", 1, 0)]);
            default: throw new ArgumentException($"there is no role '{role}'", nameof(role));
        }

        Spelling With(string[] names, (string Unit, double Scale, double Offset)[] units)
        {
            string name = random.Pick(names);
            (string unit, double scale, double offset) = random.Pick(units);
            return new Spelling(name, unit, scale, offset);
        }
    }
}
