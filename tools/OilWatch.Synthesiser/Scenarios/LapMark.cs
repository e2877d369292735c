namespace OilWatch.Synthesiser.Scenarios;

/// <summary>How a log marks its laps.</summary>
public enum LapMark
{
    /// <summary>A channel with the lap's number.</summary>
    LapNumber,

    /// <summary>A beacon channel.</summary>
    Beacon,

    /// <summary>Not at all: only GPS.</summary>
    GpsOnly,
}
