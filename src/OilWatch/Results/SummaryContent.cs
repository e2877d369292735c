using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Reading;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>What <c>summary.json</c> and <c>summary.msgpack</c> say.</summary>
internal static class SummaryContent
{
    /// <summary>Raised when a field is renamed or changes its meaning; not when one is added.</summary>
    public const int FormatVersion = 1;

    public static ResultValue Of(SessionResult result) => Map(
        ("format_version", ResultValue.Of(FormatVersion)),
        ("log", ResultValue.Of(result.LogName)),
        ("log_format", ResultValue.Of(result.FormatName)),
        ("car", ResultValue.Of(result.CarName)),
        ("as_live", ResultValue.Of(result.AsLive)),
        ("verdict", ResultValue.Of(ResultWords.Of(result.Verdict))),
        ("headline", ResultValue.Of(result.Headline)),
        ("start_s", Instant(result.First)),
        ("end_s", Instant(result.Last)),
        ("duration_s", result is { First: { } first, Last: { } last } ? Between(first, last) : Absent),
        ("engine_hours", Rounded(result.EngineHours, 6)),
        ("engine_revolutions", Revolutions(result.EngineRevolutions)),
        ("counts", Counts(result)),
        ("cause", result.Cause is { } cause ? Cause(cause) : Absent),
        ("baseline", result.Baseline is { } baseline ? Baseline(baseline) : Absent),
        ("starvation_total", Total(StarvationTotal.Of(result))),
        ("look_first", List(Inspections.First(result), Inspection)),
        ("look_at_sensors", List(Inspections.OfSensors(result), Inspection)),
        ("corners", List(result.WorstCorners, Harm)),
        ("time_to_drop", List(HoldLimits.Of(result), Hold)),
        ("circuit", List(result.Corners, Circuit)),
        ("laps", List(result.Laps, lap => Column.Row(LapColumns.All, lap))),
        ("channels", List(result.Channels, channel => Channel(channel, result.Plan.For(channel.Role)))),
        ("vibration", result.Waveform is { } waveform ? WaveContent.Of(waveform) : Absent),
        ("speed_bands", List(result.SpeedBands, WaveContent.Of)),
        ("channel_notes", List(result.Plan.Notes, ResultValue.Of)),
        ("not_judged", List(result.NotJudged, ResultValue.Of)),
        ("health_indices", List(result.HealthIndices, index => Map(
            ("key", ResultValue.Of(index.Key)),
            ("value", Significant(index.Value)),
            ("spread", Significant(index.Spread))))),
        ("reading", ReportContent.Of(result.Reading)),
        ("assumptions", List(result.Assumptions, ResultValue.Of)),
        ("limits", List(result.Limits, limit => Map(
            ("section", ResultValue.Of(limit.Section)),
            ("key", ResultValue.Of(limit.Key)),
            ("value", Significant(limit.Default)),
            ("unit", ResultValue.Of(limit.Unit))))));

    private static ResultValue Counts(SessionResult result)
    {
        List<Alert> alerts = [.. AlertFields.InOrder(result)];
        return Map(
            ("total", ResultValue.Of(alerts.Count)),
            ("by_severity", new Fields([.. Severities(alerts)])),
            ("by_kind", new Fields([.. Enum.GetValues<AlertKind>().Select(kind => (kind.Word(), OfKind(alerts, kind)))])));
    }

    private static Fields OfKind(List<Alert> alerts, AlertKind kind)
    {
        List<Alert> ofKind = alerts.FindAll(alert => alert.Kind == kind);
        return new Fields([("total", ResultValue.Of(ofKind.Count)), .. Severities(ofKind)]);
    }

    private static IEnumerable<(string Key, ResultValue Value)> Severities(List<Alert> alerts) =>
        Enum.GetValues<Severity>().Select(severity =>
            (severity.Word(), ResultValue.Of(alerts.Count(alert => alert.Severity == severity))));

    private static ResultValue Cause(CauseReading cause) => Map(
        ("outcome", ResultValue.Of(cause.Outcome.Word())),
        ("cause", ResultValue.Of(cause.Cause?.Word())),
        ("direction", ResultValue.Of(cause.Direction.Word())),
        ("reading", ResultValue.Of(cause.Reading)),
        ("evidence", List(cause.Evidence, ResultValue.Of)),
        ("candidates", List(cause.Candidates, candidate => ResultValue.Of(candidate.Word()))),
        ("inspect", List(cause.Inspect, ResultValue.Of)),
        ("also", List(cause.Also, ResultValue.Of)),
        ("scores", List(cause.Scores, score => Map(("cause", ResultValue.Of(score.Cause.Word())), ("score", Ratio(score.Score))))),
        ("measurements", List(cause.Measurements, measurement => Map(
            ("name", ResultValue.Of(measurement.Name)),
            ("value", Significant(measurement.Value)),
            ("unit", ResultValue.Of(measurement.Unit))))));

    private static ResultValue Baseline(BaselineSummary baseline) => Map(
        ("origin", ResultValue.Of(baseline.Origin)),
        ("confidence", ResultValue.Of(baseline.Confidence)),
        ("parameters", List(baseline.Parameters, parameter => Map(
            ("name", ResultValue.Of(parameter.Name)),
            ("value", Significant(parameter.Value)),
            ("unit", ResultValue.Of(parameter.Unit))))),
        ("fit_error_kpa", Kpa(baseline.FitErrorKpa)),
        ("fit_error_ratio", Ratio(baseline.FitErrorRatio)),
        ("calm_s", Seconds(baseline.CalmS)),
        ("notes", List(baseline.Notes, ResultValue.Of)),
        ("curve", List(baseline.Curve, point => Map(
            ("speed_rpm", Rpm(point.SpeedRpm)),
            ("pressure_kpa", Kpa(point.PressureKpa))))));

    private static ResultValue Total(StarvationTotal total) => Map(
        ("events", ResultValue.Of(total.Events)),
        ("duration_s", Seconds(total.DurationS)),
        ("longest_s", Seconds(total.LongestS)),
        ("revolutions", Revolutions(total.Revolutions)),
        ("deficit_kpa_s", KpaS(total.DeficitKpaS)));

    private static ResultValue Inspection(Inspection inspection) => Map(
        ("what", ResultValue.Of(inspection.What)),
        ("alerts", ResultValue.Of(inspection.Alerts)));

    private static ResultValue Hold(HoldLimit hold) => Map(
        ("direction", ResultValue.Of(hold.Direction.Word())),
        ("from_g", G(hold.FromG)),
        ("to_g", G(hold.ToG)),
        ("passes", ResultValue.Of(hold.Passes)),
        ("drops", ResultValue.Of(hold.Drops)),
        ("tenth_s", Seconds(hold.TenthS)),
        ("enough", ResultValue.Of((bool?)hold.Enough)));

    private static ResultValue Harm(CornerHarm corner) => Map(
        ("corner", ResultValue.Of(corner.Corner)),
        ("direction", ResultValue.Of(corner.Direction.Word())),
        ("passes", ResultValue.Of(corner.Passes)),
        ("starved", ResultValue.Of(corner.Starved)),
        ("starvation_s", Seconds(corner.StarvationS)),
        ("starvation_revolutions", Revolutions(corner.StarvationRevolutions)),
        ("deficit_kpa_s", KpaS(corner.DeficitKpaS)),
        ("min_kpa", Kpa(corner.MinKpa)),
        ("min_ratio", Ratio(corner.MinRatio)),
        ("median_time_to_drop_s", Seconds(corner.MedianTimeToDropS)));

    private static ResultValue Circuit(Corner corner) => Map(
        ("corner", ResultValue.Of(corner.Label)),
        ("direction", ResultValue.Of(corner.Direction.Word())),
        ("from_m", Rounded(corner.FromM, 2)),
        ("to_m", Rounded(corner.ToM, 2)));

    private static ResultValue Channel(ChannelQuality channel, ChannelChoice? choice) => Map(
        ("role", ResultValue.Of(channel.Role.Key())),
        ("unit", ResultValue.Of(choice?.Unit ?? channel.Role.Unit())),
        ("source", ResultValue.Of(channel.Source)),
        ("unit_in_log", ResultValue.Of(choice?.UnitUsed)),
        ("why", ResultValue.Of(choice?.Why)),
        ("quality", ResultValue.Of(channel.Quality)),
        ("rate_hz", Rounded(channel.RateHz, 3)),
        ("samples", ResultValue.Of(channel.Samples)),
        ("min", Significant(channel.Min)),
        ("max", Significant(channel.Max)),
        ("gap_s", Seconds(channel.GapS)),
        ("masked_s", Seconds(channel.MaskedS)),
        ("spikes_removed", ResultValue.Of(channel.SpikesRemoved)));
}
