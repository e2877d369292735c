using OilWatch.Alerts;
using OilWatch.Laps;

namespace OilWatch.Proof;

/// <summary>One trial: a stretch of sustained load in which oil pressure may or may not have been lost.</summary>
public sealed record Exposure
{
    /// <summary>Lap number as the log counts it, or null; without it the trial counts as a lap of its own.</summary>
    public int? Lap { get; init; }

    /// <summary>Corner or braking-zone label such as <c>C3L</c>, or null where the circuit is not known.</summary>
    public string? Corner { get; init; }

    /// <summary>Which way the load acted.</summary>
    public required LoadDirection Direction { get; init; }

    /// <summary>Highest sustained load, g, as a magnitude.</summary>
    public required double LoadG { get; init; }

    /// <summary>How long the load was held, s, more than 0.</summary>
    public required double HoldS { get; init; }

    /// <summary>Mean engine speed, rpm, or null.</summary>
    public double? SpeedRpm { get; init; }

    /// <summary>Mean oil temperature, °C, or null.</summary>
    public double? OilTemperatureC { get; init; }

    /// <summary>Lowest ratio of oil pressure to expected, or null.</summary>
    public double? MinRatio { get; init; }

    /// <summary>Seconds from the start of the load to the start of the drop; null where no drop came.</summary>
    public double? TimeToDropS { get; init; }

    /// <summary>True when pressure was lost; null where pressure could not be judged.</summary>
    public bool? Event { get; init; }

    /// <summary>The trial that a pass through a corner is; null where there was no sustained load, or how much is not known.</summary>
    /// <param name="pass">A row of <c>corners.csv</c>.</param>
    public static Exposure? From(CornerPass pass)
    {
        ArgumentNullException.ThrowIfNull(pass);
        double load = pass.PeakLateralG ?? double.NaN;
        if (pass.SustainedS is not (> 0 and < double.PositiveInfinity) || load is not (> 0 and < double.PositiveInfinity)) return null;
        return new()
        {
            Lap = pass.Lap,
            Corner = pass.Corner,
            Direction = pass.Direction,
            LoadG = load,
            HoldS = pass.SustainedS,
            SpeedRpm = Finite(pass.MeanRpm),
            OilTemperatureC = Finite(pass.OilTemperatureC),
            MinRatio = Finite(pass.OilPressureMinRatio),
            TimeToDropS = Finite(pass.TimeToDropS),
            Event = pass.Starved,
        };
    }

    /// <summary>The trial that a stretch of braking is.</summary>
    /// <param name="zone">The stretch.</param>
    public static Exposure? From(BrakingZone zone)
    {
        ArgumentNullException.ThrowIfNull(zone);
        if (zone.HoldS is not (> 0 and < double.PositiveInfinity) || zone.PeakG is not (> 0 and < double.PositiveInfinity)) return null;
        return new()
        {
            Lap = zone.Lap,
            Corner = zone.Corner,
            Direction = LoadDirection.Braking,
            LoadG = zone.PeakG,
            HoldS = zone.HoldS,
            SpeedRpm = Finite(zone.MeanRpm),
            OilTemperatureC = Finite(zone.OilTemperatureC),
            MinRatio = Finite(zone.MinRatio),
            TimeToDropS = Finite(zone.TimeToDropS),
            Event = zone.Starved,
        };
    }

    private static double? Finite(double? value) => value is { } v && double.IsFinite(v) ? v : null;
}
