namespace OilWatch.Alerts;

/// <summary>The words that files and screens use for the enumerations of this folder.</summary>
public static class AlertWords
{
    /// <summary>Such as <c>oil-starvation</c>.</summary>
    public static string Word(this AlertKind kind) => kind switch
    {
        AlertKind.OilStarvation => "oil-starvation",
        AlertKind.LowOilPressure => "low-oil-pressure",
        AlertKind.CrankcaseVacuumLoss => "crankcase-vacuum-loss",
        AlertKind.VibrationBand => "vibration-band",
        AlertKind.EngineSpeedBand => "engine-speed-band",
        AlertKind.OverSpeed => "over-speed",
        AlertKind.OilTemperature => "oil-temperature",
        AlertKind.SensorFault => "sensor-fault",
        _ => throw new ArgumentOutOfRangeException(nameof(kind)),
    };

    /// <summary><c>advisory</c>, <c>caution</c> or <c>warning</c>.</summary>
    public static string Word(this Severity severity) => severity switch
    {
        Severity.Advisory => "advisory",
        Severity.Caution => "caution",
        Severity.Warning => "warning",
        _ => throw new ArgumentOutOfRangeException(nameof(severity)),
    };

    /// <summary>Such as <c>left</c>; null for no load.</summary>
    public static string? Word(this LoadDirection direction) => direction switch
    {
        LoadDirection.None => null,
        LoadDirection.Left => "left",
        LoadDirection.Right => "right",
        LoadDirection.Braking => "braking",
        LoadDirection.Accelerating => "accelerating",
        _ => throw new ArgumentOutOfRangeException(nameof(direction)),
    };

    /// <summary>Such as <c>raised</c>.</summary>
    public static string Word(this AlertPhase phase) => phase switch
    {
        AlertPhase.Raised => "raised",
        AlertPhase.Escalated => "escalated",
        AlertPhase.Ended => "ended",
        _ => throw new ArgumentOutOfRangeException(nameof(phase)),
    };

    /// <summary>Such as <c>recovered</c>.</summary>
    public static string Word(this EventEnd end) => end switch
    {
        EventEnd.Open => "open",
        EventEnd.Recovered => "recovered",
        EventEnd.EngineSlowed => "engine-slowed",
        EventEnd.DataLost => "data-lost",
        EventEnd.LogEnded => "log-ended",
        _ => throw new ArgumentOutOfRangeException(nameof(end)),
    };
}
