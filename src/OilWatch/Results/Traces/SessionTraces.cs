using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Results.Traces;

/// <summary>What the pictures of a session are drawn from. Bounded, however long the session was.</summary>
public sealed record SessionTraces
{
    /// <summary>No pictures.</summary>
    public static SessionTraces None { get; } = new();

    /// <summary>Close-ups of the worst alerts, worst first; at most 40.</summary>
    public ImmutableArray<AlertTrace> Alerts { get; init; } = [];

    /// <summary>The lowest ratio of oil pressure to expected along the run, or null when it could never be judged.</summary>
    public RunStrip? PressureRatio { get; init; }

    /// <summary>Oil pressure, kPa gauge, over engine speed, or null.</summary>
    public SpeedCloud? Pressure { get; init; }

    /// <summary>Crankcase pressure, kPa gauge, over engine speed, or null.</summary>
    public SpeedCloud? Crankcase { get; init; }

    /// <summary>Vibration level, g, over engine speed, or null.</summary>
    public SpeedCloud? Vibration { get; init; }

    /// <summary>Vibration level over engine speed and frequency, or null where no waveform was logged.</summary>
    public VibrationMap? VibrationMap { get; init; }

    /// <summary>The close-up of an alert, or null when it is not among the worst.</summary>
    public AlertTrace? Of(Alert alert) => Alerts.FirstOrDefault(trace => trace.IsOf(alert));
}
