using System.Collections.Immutable;
using OilWatch.Channels;

namespace OilWatch.Cars;

/// <summary>What the car file says. Everything is optional.</summary>
public sealed record CarSettings
{
    /// <summary>Nothing said.</summary>
    public static CarSettings None { get; } = new();

    /// <summary>What the crew calls the car.</summary>
    public string? Name { get; init; }

    /// <summary>Number of cylinders, 1 to 16.</summary>
    public int? Cylinders { get; init; }

    /// <summary>Crankshaft layout.</summary>
    public CrankLayout? Crank { get; init; }

    /// <summary>Engine speed not to be passed, rpm.</summary>
    public double? RedlineRpm { get; init; }

    /// <summary>How the oil is kept.</summary>
    public Lubrication? Lubrication { get; init; }

    /// <summary>The oil's grade as written on the can, such as <c>5W-50</c>.</summary>
    public string? OilGrade { get; init; }

    /// <summary>Kinematic viscosity at 40 °C, mm²/s (cSt).</summary>
    public double? Viscosity40CCst { get; init; }

    /// <summary>Kinematic viscosity at 100 °C, mm²/s (cSt).</summary>
    public double? Viscosity100CCst { get; init; }

    /// <summary>What the car file says of channels, by role.</summary>
    public ImmutableDictionary<Role, ChannelSetting> Channels { get; init; } = ImmutableDictionary<Role, ChannelSetting>.Empty;

    /// <summary>CAN databases, as paths relative to the car file.</summary>
    public ImmutableArray<string> CanDatabases { get; init; } = [];

    /// <summary>The start line, where GPS finds the laps.</summary>
    public LapGate? Gate { get; init; }

    /// <summary>Bands to stay out of or to watch.</summary>
    public ImmutableArray<Band> Bands { get; init; } = [];

    /// <summary>A file of what to look at because of what was found, as a path relative to the car file; null for the built-in advice.</summary>
    public string? AdviceFile { get; init; }
}
