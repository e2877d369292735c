using System.Globalization;

namespace OilWatch.Channels;

/// <summary>The unit that values are most likely in, where neither the log nor the car file says.</summary>
/// <remarks>
/// The ranges are ours: what engines and cars on a circuit show. None is published. A guess is always told in <see cref="ChannelChoice.Why"/>.
/// </remarks>
internal static class UnitGuess
{
    /// <summary>The guess.</summary>
    /// <param name="role">The role.</param>
    /// <param name="sample">What the log shows, in the channel's own unit; null when nobody looked.</param>
    /// <param name="vacuum">True when the channel is named a vacuum.</param>
    /// <returns>A unit word that <see cref="Units"/> knows, and why.</returns>
    public static (string Unit, string Why) For(Role role, ChannelSample? sample, bool vacuum)
    {
        if (Units.QuantityOf(role) == Quantity.None) return ("", "it needs no unit");
        if (sample is not { Count: > 0 } seen)
            return (role.Unit(), $"no unit is given and there are no values to judge by, so {role.Unit()} is assumed");
        string unit = role switch
        {
            Role.OilPressure => OilPressure(seen),
            Role.FuelPressure => FuelPressure(seen),
            Role.CrankcasePressure => Crankcase(seen, vacuum),
            Role.OilTemperature => Temperature(seen, hottestC: 160),
            Role.WaterTemperature => Temperature(seen, hottestC: 130),
            Role.EngineSpeed => EngineSpeed(seen),
            Role.LateralG or Role.LongitudinalG => CarAcceleration(seen),
            Role.VehicleSpeed => VehicleSpeed(seen),
            Role.Throttle => Largest(seen) <= 1.05 ? "ratio" : "%",
            Role.BatteryVoltage => Largest(seen) > 100 ? "mV" : "V",
            Role.Latitude or Role.Longitude => seen.LargestSize > 181 ? "1e-7 deg" : "deg",
            _ => role.Unit(),
        };
        string values = string.Create(CultureInfo.InvariantCulture, $"values of {seen.Low5:0.###} to {seen.High95:0.###}");
        string ambiguous = role == Role.VehicleSpeed && string.Equals(unit, "km/h", StringComparison.Ordinal)
            ? " (mph cannot be told apart from it)" : "";
        return (unit, $"no unit is given; {values} fit {unit} best{ambiguous}");
    }

    /// <summary>The largest value that is no single wild reading.</summary>
    private static double Largest(ChannelSample seen) =>
        seen.Max > 3 * Math.Abs(seen.High95) && seen.High95 != 0 ? 1.5 * Math.Abs(seen.High95) : seen.Max;

    private static string OilPressure(ChannelSample seen) => Largest(seen) switch
    {
        <= 0.3 => "kPa",                  // nothing but an engine at rest: nothing to tell by
        <= 12 => "bar",
        <= 150 => "psi",
        <= 1500 => "kPa",
        <= 15_000 => "mbar",
        _ => "Pa",
    };

    private static string FuelPressure(ChannelSample seen) => Largest(seen) switch
    {
        <= 0.3 => "kPa",
        <= 12 => "bar",
        <= 120 => "psi",
        <= 1500 => "kPa",
        <= 30_000 => "mbar",
        _ => "Pa",
    };

    private static string Crankcase(ChannelSample seen, bool vacuum)
    {
        // An ambient near sea level to 2000 m, less a vacuum or with blow-by on top: no gauge reading looks so.
        if (seen is { Low5: >= 35, Median: >= 50, High95: <= 115 } && !vacuum) return "kPa absolute";
        if (seen is { Low5: >= 350, Median: >= 500, High95: <= 1150 }) return "mbar absolute";
        double size = seen.UsualSize;
        if (vacuum) return size switch { <= 30 => "inHg", <= 102 => "kPa", _ => "mbar" };
        return size <= 102 ? "kPa" : "mbar";
    }

    /// <summary>
    /// True for crankcase values that only a sensor of absolute pressure shows: no crankcase stays 50 kPa above ambient, and no ambient is above 115 kPa.
    /// </summary>
    /// <param name="seen">What the log shows, in the channel's own unit.</param>
    /// <param name="kpa">kPa a unit.</param>
    public static bool IsAbsoluteCrankcase(ChannelSample seen, double kpa) =>
        seen.Low5 * kpa >= 25 && seen.Median * kpa > 50 && seen.High95 * kpa <= 115;

    private static string Temperature(ChannelSample seen, double hottestC)
    {
        if (seen is { Low5: >= 265, High95: <= 430 }) return "K";
        return Largest(seen) > hottestC ? "°F" : "°C";
    }

    private static string EngineSpeed(ChannelSample seen) => Largest(seen) is > 20 and <= 300 ? "rev/s" : "rpm";

    private static string CarAcceleration(ChannelSample seen)
    {
        // No car holds 4 g; a kerb strike may show it, but then as a spike far above what is usual.
        if (seen.UsualSize > 60) return "mg";
        bool spike = seen.UsualSize > 0 && seen.LargestSize > 4 * seen.UsualSize;
        return seen.UsualSize > 3 || seen.LargestSize > 8 || (seen.LargestSize > 4 && !spike) ? "m/s²" : "g";
    }

    private static string VehicleSpeed(ChannelSample seen) => Largest(seen) is > 25 and <= 90 ? "m/s" : "km/h";
}
