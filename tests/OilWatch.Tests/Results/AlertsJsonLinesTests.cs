using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class AlertsJsonLinesTests
{
    [Fact]
    public void An_alert_is_one_line_with_every_field_in_order() => Assert.Equal(
        """{"kind":"oil-starvation","severity":"caution","start_s":312.4,"raised_s":312.5,"end_s":313.24,"ending":"recovered","escalated_s":312.65""" +
        ""","lap":4,"corner":"C3L","channel":"oil_pressure","detail":null,"min_kpa":96.13,"expected_kpa":410,"min_ratio":0.2344,"duration_s":0.84""" +
        ""","deficit_kpa_s":171.25,"revolutions":93.34,"peak_lateral_g":1.31,"direction":"left","load_before_s":1.62,"rpm_at_min":6655.6""" +
        ""","oil_temperature_c":104.5,"reading":"pickup uncovered","evidence":["Pressure fell 1.62 s into a left-hand corner at 1.31 """ +
        """g.","It came back within 0.3 s of the load\u0027s end."],"inspect":["oil level","baffle and trap doors","pickup height"]""" +
        ""","message":"Oil pressure fell to 96 of 410 kPa in C3L: ease off."}""" + "\n",
        Lines(Sessions.Bare with { Alerts = [Sessions.Starvation] }));

    [Fact]
    public void What_is_absent_is_null_and_never_0() => Assert.Equal(
        """{"kind":"sensor-fault","severity":"advisory","start_s":-1.5,"raised_s":-1,"end_s":20,"ending":"log-ended","escalated_s":null""" +
        ""","lap":null,"corner":null,"channel":"oil_temperature","detail":"dropout","min_kpa":null,"expected_kpa":null,"min_ratio":null,"duration_s":null""" +
        ""","deficit_kpa_s":null,"revolutions":null,"peak_lateral_g":null,"direction":null,"load_before_s":null,"rpm_at_min":null""" +
        ""","oil_temperature_c":null,"reading":null,"evidence":[],"inspect":[],"message":"The oil temperature is not to be believed."}""" + "\n",
        Lines(Sessions.Bare with { Alerts = [Sessions.Rich.Alerts[2]] }));

    [Fact]
    public void Alerts_come_in_order_of_their_start()
    {
        double[] starts = [.. Records(Lines(Sessions.Rich)).Select(alert => alert.GetProperty("start_s").GetDouble())];
        Assert.Equal([-1.5, 312.4, 400], starts);
    }

    [Fact]
    public void No_alerts_are_no_bytes() => Assert.Empty(Written.Bytes(ResultFiles.WriteAlertsJsonLines, Sessions.Bare));

    // JSON Lines, check-values 16 (FOUND jsonlines.org): UTF-8, no BOM, each line one JSON value, no blank line, terminator \n.
    [Fact]
    public void The_file_is_JSON_Lines()
    {
        string text = Lines(Sessions.Rich);
        Assert.Equal(3, Records(text).Count);
        Assert.EndsWith("}\n", text, StringComparison.Ordinal);
        Assert.NotEqual('\uFEFF', text[0]);
        Assert.DoesNotContain("\r", text, StringComparison.Ordinal);
        Assert.DoesNotContain("\n\n", text, StringComparison.Ordinal);
    }

    // NaN and Infinity are not JSON (check-values 16).
    [Fact]
    public void What_is_not_finite_is_written_as_null()
    {
        Alert alert = Sessions.Starvation with { MinKpa = double.NaN, MinRatio = double.PositiveInfinity, RpmAtMin = double.NegativeInfinity };
        JsonElement written = Assert.Single(Records(Lines(Sessions.Bare with { Alerts = [alert] })));
        foreach (string field in (string[])["min_kpa", "min_ratio", "rpm_at_min"])
            Assert.Equal(JsonValueKind.Null, written.GetProperty(field).ValueKind);
    }

    [Fact]
    public void Text_cannot_end_the_line_or_a_tag_it_is_put_in()
    {
        Alert alert = Sessions.Starvation with { Message = "a\nb\u2028c</script>\"°é" };
        string text = Lines(Sessions.Bare with { Alerts = [alert] });
        Assert.Contains("""a\nb\u2028c\u003C/script\u003E\u0022°é""", text, StringComparison.Ordinal);
        Assert.Equal(alert.Message, Assert.Single(Records(text)).GetProperty("message").GetString());
    }

    private static string Lines(SessionResult result) => Written.Text(ResultFiles.WriteAlertsJsonLines, result);

    private static List<JsonElement> Records(string text) =>
        [.. text.Split('\n')[..^1].Select(line => JsonDocument.Parse(line).RootElement.Clone())];
}
