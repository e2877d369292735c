namespace OilWatch.Report;

/// <summary>The units that people are shown.</summary>
public enum ReportUnits
{
    /// <summary>kPa, °C.</summary>
    Si,

    /// <summary>psi, °F.</summary>
    Us,
}
