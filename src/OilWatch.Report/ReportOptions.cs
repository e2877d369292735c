namespace OilWatch.Report;

/// <summary>How a report is written.</summary>
public sealed record ReportOptions
{
    /// <summary>SI units, no version.</summary>
    public static ReportOptions Default { get; } = new();

    /// <summary>Units of pressures and temperatures.</summary>
    public ReportUnits Units { get; init; } = ReportUnits.Si;

    /// <summary>The version of the program that judged the session, or null to leave it out.</summary>
    public string? Version { get; init; }
}
