using System.Buffers;
using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Results;

namespace OilWatch.Mqtt;

/// <summary>What the messages say; the fields are described in <c>docs/mqtt.md</c>.</summary>
internal static class MqttPayloads
{
    private const int MostTextChars = 500;

    /// <summary>A step of an alert, with the fields of <c>watch --json</c>. One that is too large loses its evidence and advice.</summary>
    public static byte[] Alert(AlertChange change, int maxBytes)
    {
        byte[] whole = Of(AlertStep(change));
        return whole.Length <= maxBytes ? whole : Of(AlertStep(change with { Alert = Short(change.Alert) }));
    }

    /// <summary>A lap, with the fields of <c>laps.csv</c>.</summary>
    public static byte[] Lap(LapSummary lap) => Of(Column.Row(LapColumns.All, lap));

    /// <summary>How the engine is.</summary>
    public static byte[] Health(EngineHealth health) => Of(ResultValue.Map(
        ("at_s", ResultValue.Instant(health.At)),
        ("state", ResultValue.Of(Word(health.State))),
        ("oil_pressure_kpa", ResultValue.Kpa(health.OilPressureKpa)),
        ("expected_kpa", ResultValue.Kpa(health.ExpectedKpa)),
        ("min_ratio", ResultValue.Ratio(health.MinRatio)),
        ("oil_temperature_c", ResultValue.Celsius(health.OilTemperatureC)),
        ("engine_speed_rpm", ResultValue.Rpm(health.SpeedRpm)),
        ("lateral_g", ResultValue.G(health.LateralG)),
        ("crankcase_pressure_kpa", ResultValue.Kpa(health.CrankcaseKpa)),
        ("vibration", ResultValue.Significant(health.Vibration)),
        ("lap", ResultValue.Of(health.Lap)),
        ("masked", ResultValue.List([.. Enum.GetValues<Role>().Where(health.IsMasked)], role => ResultValue.Of(role.Key())))));

    /// <summary>What stands, the gravest first, as many as there is room for.</summary>
    public static byte[] Standing(EngineState state, ImmutableArray<StandingAlert> standing, int maxBytes)
    {
        for (int count = standing.Length; ; count /= 2)
        {
            byte[] payload = Of(ResultValue.Map(
                ("state", ResultValue.Of(Word(state))),
                ("count", ResultValue.Of(standing.Length)),
                ("alerts", ResultValue.List(standing[..count], One))));
            if (payload.Length <= maxBytes || count == 0) return payload;
        }
    }

    /// <summary>Such as <c>clear</c>.</summary>
    public static string Word(EngineState state) => state switch
    {
        EngineState.Waiting => "waiting",
        EngineState.Clear => "clear",
        EngineState.Watch => "watch",
        EngineState.Stop => "stop",
        EngineState.Unknown => "unknown",
        _ => throw new ArgumentOutOfRangeException(nameof(state)),
    };

    private static ResultValue.Fields AlertStep(AlertChange change)
    {
        var row = (ResultValue.Fields)Column.Row(AlertFields.All, change.Alert);
        return new ResultValue.Fields(
        [
            ("phase", ResultValue.Of(change.Phase.Word())), ("at_s", ResultValue.Instant(change.At)), ("id", ResultValue.Of(change.Id)), .. row.Values,
        ]);
    }

    private static ResultValue.Fields One(StandingAlert standing)
    {
        var row = (ResultValue.Fields)Column.Row(AlertFields.All, Short(standing.Alert));
        return new ResultValue.Fields(
        [
            ("id", ResultValue.Of(standing.Id)), ("at_s", ResultValue.Instant(standing.At)), ("times", ResultValue.Of(standing.Times)),
            ("over", ResultValue.Of(standing.IsOver)), ("acknowledged", ResultValue.Of(standing.IsAcknowledged)), .. row.Values,
        ]);
    }

    private static Alert Short(Alert alert) => alert with
    {
        Evidence = [],
        Inspect = [],
        Message = Cut(alert.Message)!,
        Reading = Cut(alert.Reading),
        Detail = Cut(alert.Detail),
        Corner = Cut(alert.Corner),
    };

    private static string? Cut(string? text) => text is { Length: > MostTextChars } ? text[..MostTextChars] : text;

    private static byte[] Of(ResultValue value)
    {
        var buffer = new ArrayBufferWriter<byte>();
        JsonForm.Write(value, buffer, indented: false);
        return buffer.WrittenSpan[..^1].ToArray();                // without the line's end
    }
}
