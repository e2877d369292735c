using System.Collections.Immutable;

namespace OilWatch.Reading;

/// <summary>What a reader may need beside the log itself.</summary>
public sealed record ReaderOptions
{
    /// <summary>No CAN database: SAE J1939-71 and SAE J1979 definitions only.</summary>
    public static ReaderOptions Default { get; } = new();

    /// <summary>CAN databases (DBC) for CAN logs, the first one first.</summary>
    public ImmutableArray<LogSource> CanDatabases { get; init; } = [];
}
