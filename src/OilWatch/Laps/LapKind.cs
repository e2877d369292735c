namespace OilWatch.Laps;

/// <summary>Whether a lap is whole. Written to files as <c>timed</c>, <c>out</c>, <c>in</c>, <c>incomplete</c>.</summary>
public enum LapKind
{
    /// <summary>From start line to start line.</summary>
    Timed,

    /// <summary>Begins in the pits or before the first crossing of the line.</summary>
    Out,

    /// <summary>Ends in the pits or after the last crossing of the line.</summary>
    In,

    /// <summary>Broken by missing data.</summary>
    Incomplete,
}
