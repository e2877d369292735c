using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Results.Traces;

/// <summary>The readings around one alert: from a few seconds before its start to a few seconds after its end.</summary>
/// <param name="Alert">The alert, as it was when it was over.</param>
/// <param name="Points">The readings in order of time; at most 600.</param>
public sealed record AlertTrace(Alert Alert, ImmutableArray<TracePoint> Points)
{
    /// <summary>True when this is the trace of <paramref name="alert"/>, whatever was added to the alert's words since.</summary>
    public bool IsOf(Alert alert)
    {
        ArgumentNullException.ThrowIfNull(alert);
        return alert.Start == Alert.Start && alert.Channel == Alert.Channel && alert.Kind == Alert.Kind
            && string.Equals(alert.Detail, Alert.Detail, StringComparison.Ordinal);
    }
}
