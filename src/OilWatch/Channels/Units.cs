using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Text;

namespace OilWatch.Channels;

/// <summary>Unit words as logs spell them, with exact factors to the roles' units.</summary>
/// <remarks>
/// Letter case, spaces, dots, brackets and the form of superscripts and degree signs do not matter. Factors are exact by
/// definition where one exists: NIST SP 811, check-values 12. An absolute pressure has the standard atmosphere, 101.325 kPa,
/// subtracted, because no log says the ambient pressure of the day; of a crankcase the run itself may show it (<see cref="Crankcase.CrankcaseZero"/>).
/// </remarks>
public static class Units
{
    /// <summary>The standard atmosphere, kPa, exact.</summary>
    public const double StandardAtmosphereKpa = 101.325;

    /// <summary>Standard gravity, m/s², exact.</summary>
    public const double StandardGravity = 9.80665;

    private const double PoundPerSquareInchKpa = 0.45359237 * 9.80665 / (0.0254 * 0.0254) / 1000;
    private const double FootM = 0.3048;
    private const double MileM = 1609.344;
    private const double NauticalMileM = 1852;
    private const int LongestWord = 32;

    private static readonly FrozenDictionary<string, UnitWord> Words = BuildWords();

    /// <summary>How to turn a unit into the role's unit.</summary>
    /// <param name="role">The role.</param>
    /// <param name="unit">The unit as written.</param>
    /// <param name="conversion">The conversion, or the default value.</param>
    /// <returns>False when the word is not known or measures something else than the role.</returns>
    public static bool TryConvert(Role role, [NotNullWhen(true)] string? unit, out UnitConversion conversion)
    {
        conversion = default;
        if (Find(unit) is not { } word || !Fits(role, word.Quantity)) return false;
        conversion = new UnitConversion(word.Name, word.Scale, word.Offset);
        return true;
    }

    /// <summary>The units that a role's channel may have, by their one name here, the role's own unit first; empty for a role without unit.</summary>
    /// <param name="role">The role.</param>
    public static ImmutableArray<string> For(Role role)
    {
        Quantity quantity = QuantityOf(role);
        if (quantity is Quantity.None) return [];
        return
        [
            .. Words.Values.Where(word => Fits(role, word.Quantity))
                .Select(word => word.Name).Distinct(StringComparer.Ordinal)
                .OrderBy(name => !string.Equals(name, role.Unit(), StringComparison.Ordinal))
                .ThenBy(name => name.Length > 6)
                .ThenBy(name => name, StringComparer.Ordinal),
        ];
    }

    /// <summary>The unit word, or null when it is not known. A word that says that there is no unit is not known either.</summary>
    internal static UnitWord? Find(string? unit) =>
        unit is null or { Length: > LongestWord } ? null : Words.GetValueOrDefault(Normalised(unit));

    /// <summary>Every spelling, as <see cref="Normalised"/> leaves it.</summary>
    internal static IEnumerable<string> Spellings => Words.Keys;

    /// <summary>True for a text that stands for "no unit".</summary>
    internal static bool SaysNone(string? unit) =>
        unit is null || (unit.Length <= LongestWord && Normalised(unit) is "" or "-" or "--" or "none" or "n/a" or "na" or "unitless" or "1" or "#" or "no" or "null");

    /// <summary>True for a quantity that a role's channel may be of: vibration levels are accelerations, or velocities as transducers for machines give them.</summary>
    internal static bool Fits(Role role, Quantity quantity) =>
        quantity == QuantityOf(role) || (role == Role.Vibration && quantity == Quantity.VibrationVelocity);

    /// <summary>What a role's channel measures.</summary>
    internal static Quantity QuantityOf(Role role) => role switch
    {
        Role.OilPressure or Role.CrankcasePressure or Role.FuelPressure => Quantity.Pressure,
        Role.OilTemperature or Role.WaterTemperature => Quantity.Temperature,
        Role.EngineSpeed => Quantity.Rotation,
        Role.LateralG or Role.LongitudinalG or Role.Vibration => Quantity.Acceleration,
        Role.VehicleSpeed => Quantity.Speed,
        Role.Throttle => Quantity.Fraction,
        Role.Distance => Quantity.Length,
        Role.Latitude or Role.Longitude => Quantity.Angle,
        Role.BatteryVoltage => Quantity.Voltage,
        _ => Quantity.None,
    };

    /// <summary>The spelling that words are looked up by: lower case, no blanks, plain digits for superscripts.</summary>
    internal static string Normalised(string unit)
    {
        var plain = new StringBuilder(unit.Length);
        foreach (char c in unit)
        {
            switch (c)
            {
                case '²': plain.Append('2'); break;
                case '³': plain.Append('3'); break;
                case '¹': plain.Append('1'); break;
                case '⁻' or '−' or '–': plain.Append('-'); break;
                // A masculine ordinal, a ring above, and what is left of a degree sign read in the wrong encoding.
                case 'º' or '˚' or '\uFFFD': plain.Append('°'); break;
                case '℃': plain.Append("°c"); break;
                case '℉': plain.Append("°f"); break;
                case '"' or '″': plain.Append("in"); break;
                case '[' or ']' or '(' or ')' or '.' or '_' or '^' or '·' or '⋅' or '*' or '\'' or 'Â': break;
                default:
                    if (!char.IsWhiteSpace(c)) plain.Append(char.ToLowerInvariant(c));
                    break;
            }
        }
        return plain.ToString();
    }

    private static FrozenDictionary<string, UnitWord> BuildWords()
    {
        var words = new Dictionary<string, UnitWord>(StringComparer.Ordinal);

        void Add(UnitWord word, params ReadOnlySpan<string> spellings)
        {
            foreach (string spelling in spellings) words.Add(spelling, word);
        }

        void AddPressure(string name, double kpa, params ReadOnlySpan<string> spellings)
        {
            foreach (string spelling in spellings)
            {
                words.Add(spelling, new UnitWord(name, Quantity.Pressure, kpa));
                foreach (string suffix in (ReadOnlySpan<string>)["g", "gauge", "gage", "rel", "relative"])
                    words.Add(spelling + suffix, new UnitWord(name, Quantity.Pressure, kpa, 0, PressureReference.Gauge));
                foreach (string suffix in (ReadOnlySpan<string>)["a", "abs", "absolute"])
                    words.Add(spelling + suffix, new UnitWord(name + " absolute", Quantity.Pressure, kpa, -StandardAtmosphereKpa, PressureReference.Absolute));
                foreach (string suffix in (ReadOnlySpan<string>)["v", "vac", "vacuum"])
                    words.Add(spelling + suffix, new UnitWord(name + " vacuum", Quantity.Pressure, -kpa, 0, PressureReference.Vacuum));
            }
        }

        AddPressure("kPa", 1, "kpa", "kilopascal", "kilopascals");
        AddPressure("Pa", 0.001, "pa", "pascal", "pascals");
        AddPressure("hPa", 0.1, "hpa");
        AddPressure("MPa", 1000, "mpa");
        AddPressure("bar", 100, "bar", "bars");
        AddPressure("mbar", 0.1, "mbar", "millibar", "millibars");
        AddPressure("psi", PoundPerSquareInchKpa, "psi", "lbf/in2", "lb/in2", "lbs/in2", "lbf/sqin", "lbs/sqin", "lbin2");
        AddPressure("inHg", 3.386388640341, "inhg", "inchhg", "incheshg", "inchofmercury", "inchesofmercury");   // 13595.1 kg/m³ at standard gravity
        AddPressure("mmHg", 0.133322387415, "mmhg");
        AddPressure("cmHg", 1.33322387415, "cmhg");
        AddPressure("torr", StandardAtmosphereKpa / 760, "torr");
        AddPressure("inH2O", 0.24908891, "inh2o", "inwc", "inwg", "inaq");
        AddPressure("mmH2O", 0.00980665, "mmh2o");
        AddPressure("cmH2O", 0.0980665, "cmh2o");
        AddPressure("atm", StandardAtmosphereKpa, "atm");
        AddPressure("kgf/cm²", 98.0665, "kgf/cm2", "kg/cm2", "kp/cm2", "kgfcm2");

        Add(new UnitWord("°C", Quantity.Temperature, 1), "°c", "c", "degc", "degsc", "degreec", "degreesc", "celsius", "centigrade", "degcelsius", "degreescelsius", "cel", "oc");
        Add(new UnitWord("°F", Quantity.Temperature, 1 / 1.8, -32 / 1.8), "°f", "f", "degf", "degsf", "degreef", "degreesf", "fahrenheit", "degfahrenheit", "degreesfahrenheit");
        Add(new UnitWord("K", Quantity.Temperature, 1, -273.15), "k", "°k", "degk", "kelvin", "kelvins");

        Add(new UnitWord("rpm", Quantity.Rotation, 1), "rpm", "r/min", "rev/min", "revs/min", "1/min", "min-1", "/min", "u/min", "tr/min", "revsperminute", "revmin", "rmin");
        Add(new UnitWord("rev/s", Quantity.Rotation, 60), "rps", "rev/s", "revs/s", "r/s", "1/s", "s-1", "hz", "hertz");
        Add(new UnitWord("rad/s", Quantity.Rotation, 60 / (2 * Math.PI)), "rad/s", "rads-1", "rad/sec");
        Add(new UnitWord("deg/s", Quantity.Rotation, 1.0 / 6), "deg/s", "°/s", "deg/sec");

        Add(new UnitWord("g", Quantity.Acceleration, 1), "g", "gs", "gn", "gforce", "g-force", "grms", "gpeak", "gpk");
        Add(new UnitWord("mg", Quantity.Acceleration, 0.001), "mg");
        Add(new UnitWord("m/s²", Quantity.Acceleration, 1 / StandardGravity), "m/s2", "m/s/s", "ms-2", "ms2", "mps2", "m/sec2");
        Add(new UnitWord("cm/s²", Quantity.Acceleration, 0.01 / StandardGravity), "cm/s2");
        Add(new UnitWord("mm/s²", Quantity.Acceleration, 0.001 / StandardGravity), "mm/s2");
        Add(new UnitWord("ft/s²", Quantity.Acceleration, FootM / StandardGravity), "ft/s2", "ft/s/s", "ft/sec2", "fts-2", "fps2");

        Add(new UnitWord("km/h", Quantity.Speed, 1), "km/h", "kmh", "kph", "kmph", "km/hr", "kmhr", "kmh-1", "kilometersperhour", "kilometresperhour");
        Add(new UnitWord("m/s", Quantity.Speed, 3.6), "m/s", "ms-1", "mps", "m/sec");
        Add(new UnitWord("mph", Quantity.Speed, MileM * 0.001), "mph", "mi/h", "miles/h", "mile/h", "mi/hr", "milesperhour");
        Add(new UnitWord("kn", Quantity.Speed, NauticalMileM * 0.001), "kn", "kt", "kts", "knot", "knots");
        Add(new UnitWord("ft/s", Quantity.Speed, FootM * 3.6), "ft/s", "ft/sec", "fps");
        Add(new UnitWord("mm/s", Quantity.VibrationVelocity, 1), "mm/s", "mm/sec", "mms-1", "mm/srms");
        Add(new UnitWord("in/s", Quantity.VibrationVelocity, 25.4), "in/s", "in/sec", "ips");

        Add(new UnitWord("%", Quantity.Fraction, 1), "%", "pct", "percent", "perc", "prc");
        Add(new UnitWord("ratio", Quantity.Fraction, 100), "ratio", "01", "0-1", "0to1", "fraction", "frac");

        Add(new UnitWord("m", Quantity.Length, 1), "m", "meter", "meters", "metre", "metres", "mtr");
        Add(new UnitWord("km", Quantity.Length, 1000), "km", "kms", "kilometer", "kilometers", "kilometre", "kilometres");
        Add(new UnitWord("cm", Quantity.Length, 0.01), "cm");
        Add(new UnitWord("mm", Quantity.Length, 0.001), "mm");
        Add(new UnitWord("ft", Quantity.Length, FootM), "ft", "feet", "foot");
        Add(new UnitWord("yd", Quantity.Length, 0.9144), "yd", "yds", "yard", "yards");
        Add(new UnitWord("mi", Quantity.Length, MileM), "mi", "mile", "miles");
        Add(new UnitWord("nmi", Quantity.Length, NauticalMileM), "nmi");

        Add(new UnitWord("deg", Quantity.Angle, 1), "deg", "degs", "degree", "degrees", "°", "°n", "°e", "degn", "dege", "decimaldegrees", "degdec");
        Add(new UnitWord("rad", Quantity.Angle, 180 / Math.PI), "rad", "rads", "radian", "radians");
        Add(new UnitWord("arcmin", Quantity.Angle, 1.0 / 60), "arcmin", "minarc");
        Add(new UnitWord("1e-7 deg", Quantity.Angle, 1e-7), "1e-7deg", "dege7", "dege-7", "1e-7°", "deg1e-7");

        Add(new UnitWord("V", Quantity.Voltage, 1), "v", "volt", "volts", "vdc");
        Add(new UnitWord("mV", Quantity.Voltage, 0.001), "mv", "millivolt", "millivolts");

        // Known, so that a channel in them is known not to be a role's.
        foreach (string other in (ReadOnlySpan<string>)
        [
            "s", "sec", "secs", "second", "seconds", "ms", "msec", "us", "ns", "min", "mins", "h", "hr", "hrs", "hours", "h:m:s",
            "a", "ma", "amp", "amps", "ohm", "ohms", "w", "kw", "hp", "bhp", "ps", "nm", "lbft", "ftlb", "lb-ft", "ft-lb", "n", "kn-m",
            "kg", "lb", "lbs", "kg/h", "g/s", "mg/stk", "l", "l/h", "l/min", "lpm", "cc", "cc/min", "gal", "gal/h", "gph", "ml", "m3/h",
            "lambda", "afr", "la", "ppm", "bit", "bits", "bool", "enum", "flag", "state", "on/off", "j", "kj", "db", "ghz", "khz", "mhz", "btdc", "degbtdc", "degca", "°ca", "°btdc",
        ])
        {
            words.Add(other, new UnitWord(other, Quantity.Other, 1));
        }

        return words.ToFrozenDictionary(StringComparer.Ordinal);
    }
}
