namespace OilWatch.Alerts;

/// <summary>What an alert is about. Written to files as the text of <see cref="AlertWords"/>.</summary>
public enum AlertKind
{
    /// <summary>Pressure lost under sustained load.</summary>
    OilStarvation,

    /// <summary>Pressure lost without that load.</summary>
    LowOilPressure,

    /// <summary>Crankcase vacuum lost, or pressure above ambient under load.</summary>
    CrankcaseVacuumLoss,

    /// <summary>Vibration above the healthy level, or in a watched band.</summary>
    VibrationBand,

    /// <summary>Time spent in an engine-speed band to stay out of.</summary>
    EngineSpeedBand,

    /// <summary>Engine speed above the limit.</summary>
    OverSpeed,

    /// <summary>Oil too hot, or high engine speed with cold oil.</summary>
    OilTemperature,

    /// <summary>A sensor or its wiring is not to be believed.</summary>
    SensorFault,
}
