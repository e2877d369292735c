using System.Collections.Immutable;

namespace OilWatch.Channels;

/// <summary>Names and units of the roles, as the car file and the result files write them.</summary>
public static class Roles
{
    /// <summary>How many roles there are.</summary>
    public const int Count = 17;

    private static readonly ImmutableArray<string> Keys =
    [
        "oil_pressure", "oil_temperature", "engine_speed", "lateral_g", "longitudinal_g", "crankcase_pressure",
        "vehicle_speed", "throttle", "lap", "beacon", "distance", "latitude", "longitude", "vibration",
        "fuel_pressure", "water_temperature", "battery_voltage",
    ];

    private static readonly ImmutableArray<string> Units =
    [
        "kPa", "°C", "rpm", "g", "g", "kPa", "km/h", "%", "", "", "m", "deg", "deg", "g", "kPa", "°C", "V",
    ];

    /// <summary>All roles in their order.</summary>
    public static ImmutableArray<Role> All { get; } = [.. Enum.GetValues<Role>()];

    /// <summary>The role's key, such as <c>oil_pressure</c>.</summary>
    public static string Key(this Role role) => Keys[(int)role];

    /// <summary>The unit in which a frame holds the role, such as <c>kPa</c>; empty where it has none.</summary>
    public static string Unit(this Role role) => Units[(int)role];

    /// <summary>Finds a role by its key; false when there is none of that name.</summary>
    public static bool TryParse(string key, out Role role)
    {
        int index = Keys.IndexOf(key, StringComparer.Ordinal);
        role = index < 0 ? default : (Role)index;
        return index >= 0;
    }
}
