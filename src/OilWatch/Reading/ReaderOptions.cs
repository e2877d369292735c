using System.Collections.Immutable;

namespace OilWatch.Reading;

/// <summary>What a reader may need beside the log itself.</summary>
public sealed record ReaderOptions
{
    /// <summary>No CAN database: SAE J1939-71 and SAE J1979 definitions only.</summary>
    public static ReaderOptions Default { get; } = new();

    /// <summary>CAN databases (DBC) for CAN logs, the first one first.</summary>
    public ImmutableArray<LogSource> CanDatabases { get; init; } = [];

    /// <summary>NMEA 0183 sentences recorded beside the log, put in among its own records; null without.</summary>
    public PositionSource? Positions { get; init; }

    /// <summary>
    /// True to decide what a log holds by its first moments only, as has to be done with a stream: a CAN log is looked through for
    /// <see cref="FirstMomentsS"/> of its own time, and for longer only while nothing in it is known.
    /// </summary>
    public bool AsLive { get; init; }

    /// <summary>True for what lies in a recording: another recording must not lie in there.</summary>
    internal bool IsInRecording { get; init; }

    /// <summary>How much of a stream decides what it holds and which channel plays which role, s of the log's own time.</summary>
    public const double FirstMomentsS = 10;
}
