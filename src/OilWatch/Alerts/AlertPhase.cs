namespace OilWatch.Alerts;

/// <summary>The steps in an alert's life.</summary>
public enum AlertPhase
{
    /// <summary>It is new.</summary>
    Raised,

    /// <summary>It became more severe.</summary>
    Escalated,

    /// <summary>It is over; the alert is final.</summary>
    Ended,
}
