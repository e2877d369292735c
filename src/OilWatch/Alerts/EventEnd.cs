namespace OilWatch.Alerts;

/// <summary>How an event ended. Losing the data is not recovering.</summary>
public enum EventEnd
{
    /// <summary>It still lasts.</summary>
    Open,

    /// <summary>The condition went away and stayed away.</summary>
    Recovered,

    /// <summary>The engine slowed or stopped, so that the condition could no longer be judged.</summary>
    EngineSlowed,

    /// <summary>The data needed to judge it were lost.</summary>
    DataLost,

    /// <summary>The log ended while it lasted.</summary>
    LogEnded,
}
