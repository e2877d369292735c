using System.Collections.Immutable;
using System.Text.Encodings.Web;
using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>Writes <c>proof.json</c>. The same result gives the same bytes; absent, infinite and not-to-be-said numbers are null.</summary>
public static class ProofJson
{
    /// <summary>Version of the layout; fields are added, never renamed.</summary>
    public const int FormatVersion = 1;

    private static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Writes one comparison.</summary>
    /// <param name="to">Left open.</param>
    /// <param name="result">What to write.</param>
    public static void Write(Stream to, ProofResult result)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(result);
        using var json = new Utf8JsonWriter(to, Options);
        json.WriteStartObject();
        json.WriteNumber("format_version", FormatVersion);
        Fields(json, result);
        Strings(json, "cautions", Cautions.All);
        json.WriteEndObject();
    }

    /// <summary>Writes several groups against the first.</summary>
    /// <param name="to">Left open.</param>
    /// <param name="comparison">What to write.</param>
    public static void Write(Stream to, ProofComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(comparison);
        using var json = new Utf8JsonWriter(to, Options);
        json.WriteStartObject();
        json.WriteNumber("format_version", FormatVersion);
        json.WriteStartArray("comparisons");
        foreach ((ProofResult pair, double? holm) in comparison.Pairs.Zip(comparison.HolmPValues))
        {
            json.WriteStartObject();
            Number(json, "p_value_holm", holm);
            Fields(json, pair);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        LogRankOf(json, "overall_log_rank", comparison.Overall, null);
        Strings(json, "cautions", Cautions.All);
        json.WriteEndObject();
    }

    private static void Fields(Utf8JsonWriter json, ProofResult r)
    {
        json.WriteString("verdict", r.Verdict.Word());
        json.WriteString("headline", r.Headline);
        json.WriteNumber("exposures_before", r.Before.Exposures);
        json.WriteNumber("exposures_after", r.After.Exposures);
        json.WriteNumber("events_before", r.Before.Events);
        json.WriteNumber("events_after", r.After.Events);
        Rate(json, "before", r.Before);
        Rate(json, "after", r.After);
        Number(json, "rate_ratio", r.RateRatio);
        Pair(json, "rate_ratio_limits", r.RateRatioLimits);
        Pair(json, "rate_ratio_exact_limits", r.Exact?.Limits);
        Number(json, "rate_ratio_mantel_haenszel", r.Stratified?.Ratio);
        Pair(json, "rate_ratio_mantel_haenszel_limits", r.Stratified?.Limits);
        Number(json, "p_value", r.PValue);
        Number(json, "p_value_exact", r.Exact?.TwoSided);
        TimeToDrop(json, r);
        Median(json, "before", r.Before);
        Median(json, "after", r.After);
        Number(json, "min_ratio_median_change", r.Depth?.MedianChange);
        Pair(json, "min_ratio_median_change_limits", r.Depth?.Limits);
        Number(json, "min_ratio_delta", r.Depth?.Delta);
        Number(json, "after_upper_bound_per_100", r.AfterUpperBoundPer100);
        Number(json, "after_upper_bound_wanted_per_100", r.AfterBoundWantedPer100);
        Whole(json, "needed_exposures", r.Needed.Exposures);
        Whole(json, "needed_exposures_before", r.Needed.Exposures is null ? null : r.Needed.Before);
        Whole(json, "needed_laps", r.Needed.Laps);
        Whole(json, "needed_sessions", r.Needed.Sessions);
        json.WriteString("needed", r.Needed.Sentence);
        Strings(json, "reasons", r.Reasons);
        Strings(json, "would_change", r.WouldChange);
        Number(json, "lap_design_effect", r.LapDesignEffect);
        Number(json, "session_scatter_log_odds", r.SessionScatter);
        json.WriteStartArray("groups");
        foreach (GroupOutcome group in new[] { r.Before, r.After }) Group(json, group);
        json.WriteEndArray();
        Region(json, r);
    }

    private static void Rate(Utf8JsonWriter json, string side, GroupOutcome group)
    {
        Number(json, $"rate_per_100_{side}", group.RatePer100);
        Pair(json, $"rate_per_100_{side}_limits", group.ExactLimitsPer100);
        Pair(json, $"rate_per_100_{side}_clustered_limits", group.LimitsPer100);
    }

    private static void Median(Utf8JsonWriter json, string side, GroupOutcome group)
    {
        Number(json, $"min_ratio_median_{side}", group.MinRatioMedian);
        Pair(json, $"min_ratio_median_{side}_limits", group.MinRatioMedianLimits);
    }

    private static void TimeToDrop(Utf8JsonWriter json, ProofResult r)
    {
        json.WriteStartObject("time_to_drop");
        Curve(json, "before", r.Before.TimeToDrop);
        Curve(json, "after", r.After.TimeToDrop);
        LogRankOf(json, "log_rank", r.LogRank, r.LogRankClusteredPValue);
        json.WriteEndObject();
    }

    private static void Curve(Utf8JsonWriter json, string name, KaplanMeier? curve)
    {
        if (curve is null)
        {
            json.WriteNull(name);
            return;
        }
        json.WriteStartObject(name);
        json.WriteNumber("exposures", curve.Trials);
        json.WriteNumber("events", curve.Events);
        Number(json, "median_s", curve.MedianS);
        Number(json, "longest_s", curve.LongestS);
        json.WriteStartArray("steps");
        foreach (KaplanMeierStep step in curve.Steps)
        {
            json.WriteStartObject();
            Number(json, "time_s", step.TimeS);
            json.WriteNumber("at_risk", step.AtRisk);
            json.WriteNumber("events", step.Events);
            Number(json, "share_without_drop", step.Share);
            Pair(json, "limits", step.Limits);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void LogRankOf(Utf8JsonWriter json, string name, LogRank? test, double? clustered)
    {
        if (test is null)
        {
            json.WriteNull(name);
            return;
        }
        json.WriteStartObject(name);
        Number(json, "statistic", test.ChiSquare);
        json.WriteNumber("degrees_of_freedom", test.DegreesOfFreedom);
        Number(json, "p_value", test.PValue);
        if (clustered is not null) Number(json, "p_value_clustered", clustered);
        json.WriteEndObject();
    }

    private static void Group(Utf8JsonWriter json, GroupOutcome group)
    {
        json.WriteStartObject();
        json.WriteString("name", group.Name);
        json.WriteNumber("sessions", group.Sessions);
        json.WriteNumber("laps", group.Laps);
        json.WriteNumber("exposures_judged", group.Judged);
        json.WriteNumber("exposures_not_judged", group.NotJudged);
        json.WriteNumber("exposures", group.Exposures);
        json.WriteNumber("events", group.Events);
        json.WriteNumber("events_outside", group.EventsOutside);
        Number(json, "design_effect", group.DesignEffect);
        json.WriteEndObject();
    }

    private static void Region(Utf8JsonWriter json, ProofResult r)
    {
        json.WriteStartArray("strata");
        foreach (ProofStratum stratum in r.Strata)
        {
            json.WriteStartObject();
            json.WriteString("stratum", stratum.Label);
            json.WriteNumber("exposures_before", stratum.Exposures[0]);
            json.WriteNumber("events_before", stratum.Events[0]);
            json.WriteNumber("exposures_after", stratum.Exposures[1]);
            json.WriteNumber("events_after", stratum.Events[1]);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("conditions");
        foreach (AxisCover cover in r.Conditions)
        {
            json.WriteStartObject();
            json.WriteString("condition", cover.Name);
            json.WriteString("unit", cover.Unit);
            json.WriteBoolean("matched", cover.Matched);
            for (int g = 0; g < 2; g++)
            {
                string side = g == 0 ? "before" : "after";
                Pair(json, $"range_{side}", cover.Ranges[g] is { } range ? new Limits(range.Low, range.High) : null);
                Number(json, $"mean_in_region_{side}", cover.Means[g]);
            }
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("left_out");
        foreach (LeftOut left in r.LeftOut)
        {
            json.WriteStartObject();
            json.WriteString("why", left.Why);
            json.WriteNumber("exposures_before", left.Exposures[0]);
            json.WriteNumber("exposures_after", left.Exposures[1]);
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } v && double.IsFinite(v)) json.WriteNumber(name, Rounded(v));
        else json.WriteNull(name);
    }

    private static void Whole(Utf8JsonWriter json, string name, int? value)
    {
        if (value is { } v) json.WriteNumber(name, v);
        else json.WriteNull(name);
    }

    private static void Pair(Utf8JsonWriter json, string name, Limits? limits)
    {
        if (limits is not { } l)
        {
            json.WriteNull(name);
            return;
        }
        json.WriteStartArray(name);
        foreach (double side in new[] { l.Low, l.High })
        {
            if (double.IsFinite(side)) json.WriteNumberValue(Rounded(side));
            else json.WriteNullValue();
        }
        json.WriteEndArray();
    }

    /// <summary>Nine significant digits, so that the last bits of a machine's mathematics do not show.</summary>
    private static double Rounded(double value)
    {
        if (value == 0) return 0;
        double scale = Math.Pow(10, 8 - Math.Floor(Math.Log10(Math.Abs(value))));
        return double.IsFinite(scale) && scale > 0 ? Math.Round(value * scale) / scale : value;
    }

    private static void Strings(Utf8JsonWriter json, string name, ImmutableArray<string> values)
    {
        json.WriteStartArray(name);
        foreach (string value in values) json.WriteStringValue(value);
        json.WriteEndArray();
    }
}
