using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Laps;

/// <summary>When lateral load is sustained, and what counts as a corner of the circuit.</summary>
public sealed record LoadOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "corners";

    /// <summary>The defaults.</summary>
    public static LoadOptions Default { get; } = new();

    /// <summary>Sustained load begins at this lateral acceleration, g. Range 0.1 to 3. Default 0.40.</summary>
    public double LoadOnG { get; init; } = 0.40;

    /// <summary>Sustained load ends below this, g; less than <see cref="LoadOnG"/>. Range 0.05 to 2. Default 0.25.</summary>
    public double LoadOffG { get; init; } = 0.25;

    /// <summary>Shorter stretches of load are not a pass through a corner, s. Range 0.1 to 5. Default 0.5.</summary>
    public double MinLoadS { get; init; } = 0.5;

    /// <summary>Two stretches of the same direction closer than this are one, s. Range 0 to 5. Default 0.6.</summary>
    public double MergeS { get; init; } = 0.6;

    /// <summary>A place of the circuit is a corner when its usual lateral acceleration reaches this, g. Range 0.1 to 3. Default 0.35.</summary>
    public double CornerEnterG { get; init; } = 0.35;

    /// <summary>The corner ends where it falls below this, g; less than <see cref="CornerEnterG"/>. Range 0.05 to 2. Default 0.25.</summary>
    public double CornerLeaveG { get; init; } = 0.25;

    /// <summary>Two places of the same direction closer than this are one corner, m. Range 0 to 300. Default 40.</summary>
    public double CornerMergeM { get; init; } = 40;

    /// <summary>A corner is at least this long, m. Range 1 to 200. Default 15.</summary>
    public double CornerMinM { get; init; } = 15;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<LoadOptions>> Limits { get; } =
    [
        new()
        {
            Key = "load_on_g", Unit = "g", Min = 0.1, Max = 3,
            Meaning = "sustained lateral load begins at this acceleration",
            Source = "common practice, no source",
            Get = o => o.LoadOnG, With = (o, v) => o with { LoadOnG = v },
        },
        new()
        {
            Key = "load_off_g", Unit = "g", Min = 0.05, Max = 2,
            Meaning = "sustained lateral load ends below this acceleration",
            Source = "common practice, no source",
            Get = o => o.LoadOffG, With = (o, v) => o with { LoadOffG = v },
        },
        new()
        {
            Key = "min_load_s", Unit = "s", Min = 0.1, Max = 5,
            Meaning = "a shorter stretch of load is not a pass through a corner",
            Source = "common practice, no source",
            Get = o => o.MinLoadS, With = (o, v) => o with { MinLoadS = v },
        },
        new()
        {
            Key = "merge_s", Unit = "s", Min = 0, Max = 5,
            Meaning = "two stretches of load of the same direction closer than this are one",
            Source = "common practice, no source",
            Get = o => o.MergeS, With = (o, v) => o with { MergeS = v },
        },
        new()
        {
            Key = "corner_enter_g", Unit = "g", Min = 0.1, Max = 3,
            Meaning = "a place of the circuit is a corner when its usual lateral acceleration reaches this",
            Source = "common practice, no source",
            Get = o => o.CornerEnterG, With = (o, v) => o with { CornerEnterG = v },
        },
        new()
        {
            Key = "corner_leave_g", Unit = "g", Min = 0.05, Max = 2,
            Meaning = "a corner of the circuit ends where its usual lateral acceleration falls below this",
            Source = "common practice, no source",
            Get = o => o.CornerLeaveG, With = (o, v) => o with { CornerLeaveG = v },
        },
        new()
        {
            Key = "corner_merge_m", Unit = "m", Min = 0, Max = 300,
            Meaning = "two places of the same direction closer than this are one corner",
            Source = "common practice, no source",
            Get = o => o.CornerMergeM, With = (o, v) => o with { CornerMergeM = v },
        },
        new()
        {
            Key = "corner_min_m", Unit = "m", Min = 1, Max = 200,
            Meaning = "a corner of the circuit is at least this long",
            Source = "common practice, no source",
            Get = o => o.CornerMinM, With = (o, v) => o with { CornerMinM = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        foreach (string problem in Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>()) yield return problem;
        if (LoadOffG >= LoadOnG) yield return Order("load_off_g", LoadOffG, "load_on_g", LoadOnG);
        if (CornerLeaveG >= CornerEnterG) yield return Order("corner_leave_g", CornerLeaveG, "corner_enter_g", CornerEnterG);
    }

    private static string Order(string lower, double low, string upper, double high) =>
        FormattableString.Invariant($"limits.{Section}.{lower} = {low} must be below {upper} = {high}");
}
