namespace OilWatch.Alerts;

/// <summary>What can be wrong with a sensor or its wiring.</summary>
public enum SensorFaultKind
{
    /// <summary>No reading, or zero at once.</summary>
    Dropout,

    /// <summary>At or beyond an end of its range.</summary>
    Rail,

    /// <summary>The same value to the last digit while the engine's state changed.</summary>
    Stuck,

    /// <summary>Single wild readings, several in a short time.</summary>
    Spikes,
}
