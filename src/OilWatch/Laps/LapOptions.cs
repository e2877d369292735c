using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Laps;

/// <summary>How laps are told apart.</summary>
public sealed record LapOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "laps";

    /// <summary>The defaults.</summary>
    public static LapOptions Default { get; } = new();

    /// <summary>Shortest lap that a gate or a beacon can give, s. Range 2 to 600. Default 10.</summary>
    public double MinLapS { get; init; } = 10;

    /// <summary>Longest gap in the data inside a whole lap, s. Range 0.2 to 60. Default 2.</summary>
    public double MaxGapS { get; init; } = 2;

    /// <summary>Below this speed the car stands, km/h. Range 0.5 to 30. Default 5.</summary>
    public double StandKmh { get; init; } = 5;

    /// <summary>Standing for longer than this is a pit stop, s. Range 2 to 600. Default 10.</summary>
    public double StandS { get; init; } = 10;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<LapOptions>> Limits { get; } =
    [
        new()
        {
            Key = "min_lap_s", Unit = "s", Min = 2, Max = 600,
            Meaning = "shortest lap that a gate or a beacon can give",
            Source = "common practice, no source",
            Get = o => o.MinLapS, With = (o, v) => o with { MinLapS = v },
        },
        new()
        {
            Key = "max_gap_s", Unit = "s", Min = 0.2, Max = 60,
            Meaning = "longest gap in the data inside a whole lap",
            Source = "common practice, no source",
            Get = o => o.MaxGapS, With = (o, v) => o with { MaxGapS = v },
        },
        new()
        {
            Key = "stand_kmh", Unit = "km/h", Min = 0.5, Max = 30,
            Meaning = "below this speed the car stands",
            Source = "common practice, no source",
            Get = o => o.StandKmh, With = (o, v) => o with { StandKmh = v },
        },
        new()
        {
            Key = "stand_s", Unit = "s", Min = 2, Max = 600,
            Meaning = "standing for longer than this makes the lap an in or an out lap",
            Source = "common practice, no source",
            Get = o => o.StandS, With = (o, v) => o with { StandS = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() =>
        Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>();
}
