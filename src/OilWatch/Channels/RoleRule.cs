using System.Collections.Frozen;
using System.Collections.Immutable;

namespace OilWatch.Channels;

/// <summary>How well a channel's name fits one role.</summary>
/// <remarks>
/// A pattern is a set of words that must all be there. What else the name says then counts against it: a little for words that are
/// not known, a lot for words of another quantity, another part of the car, or a lamp, limit or target instead of the measurement.
/// </remarks>
internal sealed class RoleRule
{
    /// <summary>What a pattern that leaves no doubt scores.</summary>
    public const int Certain = 92;

    private const int UnknownWord = -4;
    private const int UnknownWordsAtMost = -16;
    private const int OtherNumber = -3;
    private const int Raw = -20;
    private const int Statistic = -30;
    private const int OtherPart = -60;
    private const int OtherQuantity = -60;
    private const int NotTheMeasurement = -60;

    private static readonly FrozenSet<string> Quantities = Set(
        "pressure temperature speed v voltage rpm accel vacuum position angle distance vibration level flow time current torque load rate lambda height heading force");

    private static readonly FrozenSet<string> Parts = Set(
        "oil engine fuel water battery supply ecu crankcase crank case pan breather vehicle wheel throttle pedal lap beacon odometer gearbox differential brake clutch "
        + "turbo manifold exhaust tyre air cylinder cam pump fan shaft hydraulic suspension tank cooler filter cell airbag");

    private static readonly FrozenSet<string> Remarks = Set(
        "lamp warning switch status target limit delta correction duty accuracy best");

    private readonly ImmutableArray<(FrozenSet<string> Words, int Score)> _patterns;
    private readonly FrozenSet<string> _neutral;

    private RoleRule(Role role, string neutral, params ReadOnlySpan<(string Words, int Score)> patterns)
    {
        Role = role;
        _neutral = Set(neutral);
        var sets = ImmutableArray.CreateBuilder<(FrozenSet<string>, int)>(patterns.Length);
        foreach ((string words, int score) in patterns) sets.Add((Set(words), score));
        _patterns = sets.MoveToImmutable();
    }

    /// <summary>The rules in the order of the roles.</summary>
    public static ImmutableArray<RoleRule> All { get; } =
    [
        new(Role.OilPressure, "engine", ("oil pressure", 90), ("oil", 42)),
        new(Role.OilTemperature, "engine pan", ("oil temperature", 90), ("pan temperature", 55), ("oil", 42)),
        new(Role.EngineSpeed, "engine crank",
            ("engine rpm", 96), ("engine", 52), ("engine speed", Certain), ("rpm", 85), ("engine n", 84), ("crank speed", 70), ("crank rpm", 80), ("speed", 40)),
        new(Role.LateralG, "y vehicle gps",
            ("lateral accel", Certain), ("lat accel", 90), ("accel y", 72), ("lateral", 62), ("lat", 46)),
        new(Role.LongitudinalG, "x vehicle gps",
            ("longitudinal accel", Certain), ("long accel", 90), ("accel x", 72), ("longitudinal", 62), ("long", 46)),
        new(Role.CrankcasePressure, "engine",
            ("crankcase pressure", Certain), ("crankcase vacuum", Certain), ("pan vacuum", 86), ("crank vacuum", 86), ("pan pressure", 74),
            ("crank pressure", 76), ("crankcase", 60), ("case pressure", 58), ("case vacuum", 62), ("engine vacuum", 60), ("breather pressure", 58), ("vacuum", 42)),
        new(Role.VehicleSpeed, "gps",
            ("vehicle speed", Certain), ("gps speed", 84), ("speed", 76), ("vehicle v", 75), ("gps v", 62), ("wheel speed", 58)),
        new(Role.Throttle, "engine accel",
            ("throttle position", Certain), ("throttle", 84), ("throttle angle", 60), ("pedal position", 56), ("pedal", 53)),
        new(Role.Lap, "", ("lap number", 90), ("lap", 76)),
        new(Role.Beacon, "lap", ("lap beacon", Certain), ("beacon", 85)),
        new(Role.Distance, "gps vehicle",
            ("lap distance", 90), ("distance", 82), ("odometer", 70)),
        new(Role.Latitude, "gps position", ("latitude", Certain), ("gps lat", 88), ("position lat", 80), ("lat", 56)),
        new(Role.Longitude, "gps position", ("longitude", Certain), ("gps long", 88), ("position long", 80), ("long", 56)),
        new(Role.Vibration, "engine accel level statistic x y z case",
            ("engine vibration", Certain), ("vibration", 86)),
        new(Role.FuelPressure, "engine", ("fuel pressure", 90)),
        new(Role.WaterTemperature, "engine cooler", ("water temperature", Certain), ("engine temperature", 60), ("water", 42)),
        new(Role.BatteryVoltage, "engine ecu vehicle supply",
            ("battery voltage", Certain), ("battery v", 90), ("battery", 72), ("supply voltage", 65), ("ecu voltage", 62), ("vehicle voltage", 60), ("voltage", 44)),
    ];

    /// <summary>The role.</summary>
    public Role Role { get; }

    /// <summary>How well a name fits.</summary>
    /// <param name="words">The words of the name.</param>
    /// <param name="unitWords">How many words at the end only name the unit; they count neither way.</param>
    /// <param name="groupWords">The words of the CAN message's name.</param>
    /// <returns>The score of the name, with what speaks against it; null when no pattern fits.</returns>
    public NameFit? Fit(IReadOnlySet<string> words, IReadOnlySet<string> unitWords, IReadOnlySet<string> groupWords)
    {
        NameFit? best = null;
        foreach ((FrozenSet<string> pattern, int score) in _patterns)
        {
            if (!pattern.IsSubsetOf(words)) continue;
            NameFit fit = Judge(words, unitWords, groupWords, pattern, score);
            if (best is null || fit.Score > best.Score) best = fit;
        }
        return best;
    }

    private NameFit Judge(
        IReadOnlySet<string> words, IReadOnlySet<string> unitWords, IReadOnlySet<string> groupWords, FrozenSet<string> pattern, int patternScore)
    {
        int score = patternScore;
        int unknown = 0;
        string? against = null;
        // In the order of the alphabet, so that the reason given does not depend on the order of a set.
        foreach (string word in words.Order(StringComparer.Ordinal))
        {
            if (pattern.Contains(word) || _neutral.Contains(word) || unitWords.Contains(word)) continue;
            if (Remarks.Contains(word))
            {
                score += NotTheMeasurement;
                against = $"its name speaks of a {word}, not of the measurement itself";
            }
            else if (Quantities.Contains(word))
            {
                score += OtherQuantity;
                against ??= $"its name speaks of {word} too";
            }
            else if (Parts.Contains(word))
            {
                score += OtherPart;
                against ??= $"its name speaks of the {word}";
            }
            else if (string.Equals(word, "statistic", StringComparison.Ordinal))
            {
                score += Statistic;
                against ??= "its name speaks of a minimum, maximum or average";
            }
            else if (string.Equals(word, "raw", StringComparison.Ordinal))
            {
                score += Raw;
                against ??= "its name speaks of raw counts";
            }
            else if (char.IsAsciiDigit(word[0]))
            {
                if (word is not ("1" or "01")) score += OtherNumber;
            }
            else
            {
                unknown += UnknownWord;
            }
        }

        foreach (string word in groupWords.Order(StringComparer.Ordinal))
        {
            if (!Parts.Contains(word) || pattern.Contains(word) || _neutral.Contains(word)) continue;
            if (!IsForeign(word)) continue;
            score += OtherPart;
            against ??= $"it comes in a message about the {word}";
        }
        return new NameFit(patternScore, score + Math.Max(unknown, UnknownWordsAtMost), against);
    }

    // A message may well carry oil, fuel, engine and vehicle signals together; these parts have oil and speeds of their own.
    private static bool IsForeign(string part) =>
        part is "gearbox" or "differential" or "brake" or "clutch" or "turbo" or "tyre" or "fan" or "hydraulic" or "suspension" or "cell" or "pump" or "shaft";

    private static FrozenSet<string> Set(string words) =>
        words.Split(' ', StringSplitOptions.RemoveEmptyEntries).ToFrozenSet(StringComparer.Ordinal);
}
