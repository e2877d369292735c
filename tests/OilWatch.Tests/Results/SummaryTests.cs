using System.Globalization;
using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Results;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Tests.Results;

public sealed class SummaryTests
{
    [Fact]
    public void The_summary_has_its_fields_in_their_order()
    {
        using JsonDocument summary = Summary(Sessions.Rich);
        Assert.Equal(
            [
                "format_version", "log", "log_format", "car", "as_live", "verdict", "headline", "start_s", "end_s", "duration_s", "engine_hours",
                "engine_revolutions", "counts", "cause", "baseline", "starvation_total", "look_first", "look_at_sensors", "corners", "time_to_drop", "circuit", "laps", "channels", "vibration", "speed_bands", "channel_notes", "not_judged",
                "health_indices", "reading", "assumptions", "limits",
            ],
            summary.RootElement.EnumerateObject().Select(field => field.Name));
    }

    [Theory]
    [InlineData("format_version", "1")]
    [InlineData("verdict", "\"stop\"")]
    [InlineData("headline", "\"Oil starvation 2 times, worst 96 of 410 kPa in C3L on lap 4.\"")]
    [InlineData("start_s", "-2")]
    [InlineData("duration_s", "422")]
    [InlineData("engine_hours", "0.1165")]
    [InlineData("engine_revolutions", "41234.5")]
    [InlineData("cause",
        """{"outcome":"named","cause":"pickup-uncovered","direction":"left","reading":"oil pickup uncovered in left-hand corners","evidence":["14 falls of pressure"],"candidates":[],"inspect":["oil level"],"also":["a sensor failed"],"scores":[{"cause":"pickup-uncovered","score":0.875}],"measurements":[{"name":"drops","value":14,"unit":""},{"name":"load_before_s","value":1.62,"unit":"s"}]}""")]
    [InlineData("not_judged", """["Crankcase vacuum: no channel for it."]""")]
    [InlineData("health_indices", """[{"key":"oil_pressure_100c_4000rpm_kpa","value":412.345679,"spread":3.2},{"key":"hot_idle_kpa","value":98.7,"spread":null}]""")]
    [InlineData("circuit", """[{"corner":"C1R","direction":"right","from_m":120.46,"to_m":240},{"corner":"C3L","direction":"left","from_m":800,"to_m":955.5}]""")]
    [InlineData("corners",
        """[{"corner":"C3L","direction":"left","passes":5,"starved":2,"starvation_s":1.68,"starvation_revolutions":186.67,"deficit_kpa_s":342.5,"min_kpa":60,"min_ratio":0.15,"median_time_to_drop_s":1.62}]""")]
    [InlineData("starvation_total", """{"events":2,"duration_s":1.68,"longest_s":0.84,"revolutions":186.67,"deficit_kpa_s":342.501}""")]
    [InlineData("look_first", """[{"what":"oil level","alerts":2},{"what":"baffle and trap doors","alerts":2},{"what":"pickup height","alerts":2}]""")]
    [InlineData("look_at_sensors", "[]")]
    [InlineData("time_to_drop", """[{"direction":"left","from_g":1.2,"to_g":1.4,"passes":1,"drops":1,"tenth_s":1.62,"enough":false}]""")]
    [InlineData("limits", "[]")]
    [InlineData("baseline",
        """{"origin":"this-run","confidence":"good","parameters":[{"name":"a","value":0.0123456789,"unit":"kPa/rpm"},{"name":"relief","value":480.5,"unit":"kPa"}],"fit_error_kpa":6.12,"fit_error_ratio":0.0151,"calm_s":214.4,"notes":["No oil temperature below 60 °C was seen."],"curve":[{"speed_rpm":1000,"pressure_kpa":120.5},{"speed_rpm":7000,"pressure_kpa":480.12}]}""")]
    [InlineData("reading",
        """{"bytes":123456,"lines":8445,"classes":[{"name":"rows","count":8440},{"name":"damaged","count":5}],"start_s":-2,"end_s":420,"time_went_back":1,"problem_count":5,"problems":[{"file":"session.csv","line":14,"column":3,"text":"\u002712,x\u0027 is not a number; a number or nothing would be right"},{"file":"session.csv","line":null,"column":null,"text":"the last line is cut off"}]}""")]
    [InlineData("channels",
        """[{"role":"oil_pressure","unit":"kPa","source":"Oil Press","unit_in_log":"psi","why":"Its name is that of an oil pressure.","quality":"good","rate_hz":20,"samples":8440,"min":0.5,"max":512.25,"gap_s":1.5,"masked_s":0,"spikes_removed":3},{"role":"oil_temperature","unit":"°C","source":"Oil \u0022Temp\u0022","unit_in_log":null,"why":null,"quality":"suspect","rate_hz":null,"samples":0,"min":null,"max":null,"gap_s":0,"masked_s":21.5,"spikes_removed":0}]""")]
    public void A_field_says_what_the_session_says(string field, string json)
    {
        using JsonDocument summary = JsonDocument.Parse(Written.Bytes(ResultFiles.WriteSummaryJsonLine, Sessions.Rich));
        Assert.Equal(json, summary.RootElement.GetProperty(field).GetRawText());
    }

    [Fact]
    public void Every_kind_and_severity_is_counted_zeros_too()
    {
        using JsonDocument summary = Summary(Sessions.Rich);
        JsonElement counts = summary.RootElement.GetProperty("counts");
        Assert.Equal(3, counts.GetProperty("total").GetInt32());
        Assert.Equal(["advisory 1", "caution 1", "warning 1"],
            counts.GetProperty("by_severity").EnumerateObject().Select(entry => $"{entry.Name} {entry.Value}"));
        Assert.Equal(
            [
                "oil-starvation 2: 0 1 1", "low-oil-pressure 0: 0 0 0", "crankcase-vacuum-loss 0: 0 0 0", "vibration-band 0: 0 0 0",
                "engine-speed-band 0: 0 0 0", "over-speed 0: 0 0 0", "oil-temperature 0: 0 0 0", "sensor-fault 1: 1 0 0",
            ],
            counts.GetProperty("by_kind").EnumerateObject().Select(kind =>
                $"{kind.Name} {kind.Value.GetProperty("total")}: {kind.Value.GetProperty("advisory")} {kind.Value.GetProperty("caution")} {kind.Value.GetProperty("warning")}"));
    }

    [Fact]
    public void A_lap_has_the_fields_of_the_lap_table()
    {
        using JsonDocument summary = Summary(Sessions.Rich);
        string header = Written.Text(ResultFiles.WriteLapsCsv, Sessions.Rich).Split("\r\n")[0];
        Assert.Equal(header.Split(','), summary.RootElement.GetProperty("laps")[0].EnumerateObject().Select(field => field.Name));
    }

    [Fact]
    public void What_is_not_known_is_null_and_never_0()
    {
        using JsonDocument summary = Summary(Sessions.Bare);
        foreach (string field in (string[])["car", "start_s", "end_s", "duration_s", "engine_hours", "engine_revolutions", "cause", "baseline"])
            Assert.Equal((field, JsonValueKind.Null), (field, summary.RootElement.GetProperty(field).ValueKind));
    }

    [Fact]
    public void The_files_have_their_names() => Assert.Equal(
        ["alerts.jsonl", "laps.csv", "corners.csv", "summary.json", "alerts.msgpack", "summary.msgpack"],
        ResultFiles.All.Select(file => file.Name));

    [Fact]
    public void The_machines_culture_changes_nothing()
    {
        byte[][] expected = [.. ResultFiles.All.Select(file => Written.Bytes(file.Write, Sessions.Rich))];
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            // The build has no culture data, so what differs from country to country is set by hand.
            var strange = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            strange.NumberFormat.NumberDecimalSeparator = ",";
            strange.NumberFormat.NumberGroupSeparator = ".";
            strange.NumberFormat.NegativeSign = "\u2212";
            CultureInfo.CurrentCulture = strange;
            Assert.Equal("\u22121,5", $"{-1.5}");
            Assert.Equal(expected, ResultFiles.All.Select(file => Written.Bytes(file.Write, Sessions.Rich)));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void A_stream_that_fails_is_not_hidden()
    {
        using var full = new StreamThatFailsOnWrite(0);
        foreach (ResultFile file in ResultFiles.All)
            Assert.Equal("No space left on device", Assert.Throws<IOException>(() => file.Write(Sessions.Rich, full)).Message);
    }

    [Fact]
    public void The_words_for_verdicts_are_those_of_the_files() =>
        Assert.Equal(["clear", "watch", "stop"], Enum.GetValues<Verdict>().Select(ResultWords.Of));

    [Fact]
    public void Counting_does_not_depend_on_the_order_of_the_alerts()
    {
        SessionResult turned = Sessions.Rich with { Alerts = [.. Sessions.Rich.Alerts.Reverse<Alert>()] };
        Assert.Equal(Written.Bytes(ResultFiles.WriteSummaryJson, Sessions.Rich), Written.Bytes(ResultFiles.WriteSummaryJson, turned));
    }

    private static JsonDocument Summary(SessionResult result) => JsonDocument.Parse(Written.Bytes(ResultFiles.WriteSummaryJson, result));
}
