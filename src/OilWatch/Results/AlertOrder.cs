using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>The order in which people are shown alerts: the worst first, sensors last.</summary>
public static class AlertOrder
{
    /// <summary>Worst first: engine before sensors, then by severity, by the ratio of pressure to expected, by start.</summary>
    public static IComparer<Alert> WorstFirst { get; } = Comparer<Alert>.Create(Compare);

    private static int Compare(Alert left, Alert right)
    {
        int order = (left.Kind == AlertKind.SensorFault).CompareTo(right.Kind == AlertKind.SensorFault);
        if (order == 0) order = right.Severity.CompareTo(left.Severity);
        if (order == 0) order = (left.MinRatio ?? double.PositiveInfinity).CompareTo(right.MinRatio ?? double.PositiveInfinity);
        if (order == 0) order = left.Start.CompareTo(right.Start);
        if (order == 0) order = left.Kind.CompareTo(right.Kind);
        return order == 0 ? left.Channel.CompareTo(right.Channel) : order;
    }
}
