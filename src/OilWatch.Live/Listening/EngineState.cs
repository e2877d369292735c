namespace OilWatch.Live.Listening;

/// <summary>The state of the engine in a word, for somebody who has no time for a second one.</summary>
public enum EngineState
{
    /// <summary>Nothing could be judged yet.</summary>
    Waiting,

    /// <summary>Judged, and nothing stands.</summary>
    Clear,

    /// <summary>Something stands: look when the car comes in.</summary>
    Watch,

    /// <summary>A warning stands that nobody has acknowledged, or that lasts.</summary>
    Stop,

    /// <summary>Oil pressure or engine speed has gone absent: nothing is known of the engine.</summary>
    Unknown,
}
