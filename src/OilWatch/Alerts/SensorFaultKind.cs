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

    /// <summary>Runs of wild readings that disagree with each other: the value moves faster than the engine can, as a loose connection does.</summary>
    Slew,

    /// <summary>A constant error: not near zero where it must be, or leapt to another level at once and moving on there.</summary>
    Offset,

    /// <summary>The log's time stamps ran backwards.</summary>
    Time,

    /// <summary>The log says nothing at all for a while in which the engine ran.</summary>
    Gap,
}
