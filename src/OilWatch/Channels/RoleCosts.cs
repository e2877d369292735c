namespace OilWatch.Channels;

/// <summary>What a missing role costs, for people.</summary>
public static class RoleCosts
{
    /// <summary>One sentence: what cannot be judged, or is judged less well, without this role.</summary>
    /// <param name="role">The role that no channel fills.</param>
    public static string Of(Role role) => role switch
    {
        Role.OilPressure => "Nothing about oil pressure can be judged: no starvation, no low pressure, no health index of it.",
        Role.OilTemperature => "Healthy pressure is followed through the warm-up from the run itself, with a wider spread; no oil-temperature alert.",
        Role.EngineSpeed => "Healthy pressure is not known, so no drop can be called; no engine hours, revolutions, over-speed or speed bands.",
        Role.LateralG => "A drop in a corner cannot be told from any other, so every drop is reported as low-oil-pressure; no corners, no time to drop.",
        Role.LongitudinalG => "A drop under braking or acceleration cannot be told from one without load.",
        Role.CrankcasePressure => "Crankcase vacuum and blow-by are not watched.",
        Role.VehicleSpeed => "Distance is not known where the log has none, so corners are told apart by their order in the lap only.",
        Role.Throttle => "Crankcase pressure is judged by engine speed alone, and lift-off is known only by its deceleration.",
        Role.Lap => "Laps have to be found by a beacon or by GPS.",
        Role.Beacon => "Laps have to be found by a lap channel or by GPS.",
        Role.Distance => "Distance along the lap is reckoned from vehicle speed.",
        Role.Latitude => "Laps cannot be found by GPS.",
        Role.Longitude => "Laps cannot be found by GPS.",
        Role.Vibration => "Vibration is not measured; only the time spent in the engine-speed bands of the car file is counted.",
        Role.FuelPressure => "Fuel pressure is not shown beside the oil's.",
        Role.WaterTemperature => "A warm engine is recognised by its oil alone.",
        Role.BatteryVoltage => "A fall of the supply cannot be ruled out where several sensors fail together.",
        _ => throw new ArgumentOutOfRangeException(nameof(role), role, "not a role"),
    };
}
