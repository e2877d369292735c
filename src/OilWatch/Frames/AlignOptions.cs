using System.Collections.Immutable;
using OilWatch.Cars;
using OilWatch.Channels;

namespace OilWatch.Frames;

/// <summary>How channels of different rates become frames.</summary>
public sealed record AlignOptions
{
    /// <summary>The section's name in the car file.</summary>
    public const string Section = "align";

    /// <summary>The defaults.</summary>
    public static AlignOptions Default { get; } = new();

    /// <summary>A fast channel (pressure, engine speed, g, throttle) is absent when its last reading is older than this, s. Range 0.05 to 5. Default 0.3.</summary>
    /// <remarks>Stretched to three and a half of the channel's own intervals where it is slower than that.</remarks>
    public double FastStaleS { get; init; } = 0.3;

    /// <summary>A slow channel (temperatures, voltage, position) is absent when its last reading is older than this, s. Range 0.5 to 120. Default 10.</summary>
    public double SlowStaleS { get; init; } = 10;

    /// <summary>Readings up to this much behind the latest frame are taken as of now, s. Range 0 to 2. Default 0.25.</summary>
    public double DisorderS { get; init; } = 0.25;

    /// <summary>Every threshold of this record.</summary>
    public static ImmutableArray<LimitOf<AlignOptions>> Limits { get; } =
    [
        new()
        {
            Key = "fast_stale_s", Unit = "s", Min = 0.05, Max = 5, Source = "three readings at 10 Hz; common practice, no source",
            Meaning = "a fast channel is absent when its last reading is older than this",
            Get = o => o.FastStaleS, With = (o, v) => o with { FastStaleS = v },
        },
        new()
        {
            Key = "slow_stale_s", Unit = "s", Min = 0.5, Max = 120, Source = "oil temperature moves by a degree or two in it; common practice, no source",
            Meaning = "a slow channel is absent when its last reading is older than this",
            Get = o => o.SlowStaleS, With = (o, v) => o with { SlowStaleS = v },
        },
        new()
        {
            Key = "disorder_s", Unit = "s", Min = 0, Max = 2, Source = "common practice, no source",
            Meaning = "readings up to this much behind the latest are taken as of now; later ones are dropped and counted",
            Get = o => o.DisorderS, With = (o, v) => o with { DisorderS = v },
        },
    ];

    /// <summary>Every problem at once, in the words of the car file; empty when usable.</summary>
    public IEnumerable<string> Problems() => Limits.Select(limit => limit.ProblemIn(Section, this)).OfType<string>();

    /// <summary>How long a reading of a role stays valid, s, before its own rate is looked at; infinite for counters.</summary>
    internal double StaleS(Role role) => role switch
    {
        Role.Lap or Role.Beacon => double.PositiveInfinity,
        Role.OilTemperature or Role.WaterTemperature or Role.BatteryVoltage => SlowStaleS,
        Role.Latitude or Role.Longitude or Role.Distance => Math.Max(1.5, FastStaleS),
        _ => FastStaleS,
    };
}
