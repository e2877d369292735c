namespace OilWatch.Alerts;

/// <summary>How much it matters, in the three steps of 14 CFR 25.1322, least first.</summary>
public enum Severity
{
    /// <summary>Be aware; a response may be needed later.</summary>
    Advisory,

    /// <summary>Be aware at once; respond soon.</summary>
    Caution,

    /// <summary>Be aware at once and respond at once.</summary>
    Warning,
}
