using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>The fields of an alert in <c>alerts.jsonl</c> and <c>alerts.msgpack</c>.</summary>
internal static class AlertFields
{
    public static ImmutableArray<Column<Alert>> All { get; } =
    [
        new("kind", alert => Of(alert.Kind.Word())),
        new("severity", alert => Of(alert.Severity.Word())),
        new("start_s", alert => Instant(alert.Start)),
        new("raised_s", alert => Instant(alert.Raised)),
        new("end_s", alert => Instant(alert.End)),
        new("ending", alert => Of(alert.Ending.Word())),
        new("escalated_s", alert => Instant(alert.Escalated)),
        new("lap", alert => Of(alert.Lap)),
        new("corner", alert => Of(alert.Corner)),
        new("channel", alert => Of(alert.Channel.Key())),
        new("detail", alert => Of(alert.Detail)),
        new("min_kpa", alert => Kpa(alert.MinKpa)),
        new("expected_kpa", alert => Kpa(alert.ExpectedKpa)),
        new("min_ratio", alert => Ratio(alert.MinRatio)),
        new("duration_s", alert => Seconds(alert.DurationS)),
        new("deficit_kpa_s", alert => KpaS(alert.DeficitKpaS)),
        new("revolutions", alert => Revolutions(alert.Revolutions)),
        new("peak_lateral_g", alert => G(alert.PeakLateralG)),
        new("direction", alert => Of(alert.Direction.Word())),
        new("load_before_s", alert => Seconds(alert.LoadBeforeS)),
        new("rpm_at_min", alert => Rpm(alert.RpmAtMin)),
        new("oil_temperature_c", alert => Celsius(alert.OilTemperatureC)),
        new("reading", alert => Of(alert.Reading)),
        new("evidence", alert => List(alert.Evidence, Of)),
        new("inspect", alert => List(alert.Inspect, Of)),
        new("message", alert => Of(alert.Message)),
    ];

    /// <summary>The alerts as the files hold them: in order of their start, those of one instant as they came.</summary>
    public static IEnumerable<Alert> InOrder(SessionResult result) =>
        result.Alerts.IsDefault ? [] : result.Alerts.OrderBy(alert => alert.Start.Nanoseconds);
}
