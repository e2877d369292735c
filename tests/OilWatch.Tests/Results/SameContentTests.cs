using System.Text.Json;
using CsCheck;
using MessagePack;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

/// <summary>MessagePack says the same as JSON, value by value, in the same order, read by the packages' own readers.</summary>
public sealed class SameContentTests
{
    private static readonly double?[] Awkward =
        [null, double.NaN, double.PositiveInfinity, double.NegativeInfinity, -0.0, double.Epsilon, double.MaxValue];

    private static readonly Gen<double?> AnyNumber = Gen.OneOf(
        Gen.Double.Select(value => (double?)value), Gen.Double[-1e4, 1e4].Select(value => (double?)value),
        Gen.Int[0, Awkward.Length - 1].Select(place => Awkward[place]));

    private static readonly Gen<string> AnyText = Gen.Char.Array[0, 12].Select(letters => new string(letters));

    private static readonly Gen<Alert> AnyAlert = Gen.Select(
        AnyNumber.Array[10], AnyText.Array[6], Gen.Long.Array[4], Gen.Enum<AlertKind>(), Gen.Enum<Severity>(), Gen.Enum<LoadDirection>(),
        (numbers, texts, times, kind, severity, direction) => new Alert
        {
            Kind = kind,
            Severity = severity,
            Start = new LogTime(times[0]),
            Raised = new LogTime(times[1]),
            End = new LogTime(times[2]),
            Escalated = times[3] > 0 ? new LogTime(times[3]) : null,
            Channel = Role.OilPressure,
            Direction = direction,
            MinKpa = numbers[0],
            ExpectedKpa = numbers[1],
            MinRatio = numbers[2],
            DurationS = numbers[3],
            DeficitKpaS = numbers[4],
            Revolutions = numbers[5],
            PeakLateralG = numbers[6],
            LoadBeforeS = numbers[7],
            RpmAtMin = numbers[8],
            OilTemperatureC = numbers[9],
            Corner = texts[0],
            Reading = texts[1],
            Detail = texts[2],
            Evidence = [texts[3], texts[4]],
            Message = texts[5],
        });

    private static readonly Gen<SessionResult> AnyResult = Gen.Select(
        AnyAlert.Array[0, 5], AnyNumber.Array[8], AnyText.Array[4], Gen.Enum<Verdict>(), Gen.Long, Gen.Long,
        (alerts, numbers, texts, verdict, from, to) => Sessions.Rich with
        {
            LogName = texts[0],
            Headline = texts[1],
            NotJudged = [texts[2], texts[3]],
            Verdict = verdict,
            Alerts = [.. alerts],
            First = new LogTime(from),
            Last = new LogTime(to),
            EngineHours = numbers[0],
            Laps =
            [
                new LapSummary
                {
                    Lap = -1, Kind = LapKind.Out, Start = new LogTime(from), End = new LogTime(to), PeakRpm = numbers[1], VibrationMax = numbers[2],
                    OilPressureMinKpa = numbers[3],
                },
            ],
            HealthIndices = [new HealthIndex(texts[0], numbers[4] ?? 0, numbers[5])],
            Baseline = new BaselineSummary { Origin = "learned", Confidence = "low", Parameters = [(texts[1], numbers[6] ?? 0, texts[2])], FitErrorKpa = numbers[7] },
        });

    [Fact]
    public void The_summary_of_a_full_session_is_the_same_in_both_forms() => SameSummary(Sessions.Rich);

    [Fact]
    public void The_summary_of_a_bare_session_is_the_same_in_both_forms() => SameSummary(Sessions.Bare);

    [Fact]
    public void Alerts_are_the_same_in_both_forms()
    {
        SameAlerts(Sessions.Rich);
        SameAlerts(Sessions.Bare);
    }

    [Fact]
    public void Whatever_a_session_holds_both_forms_can_be_read_and_say_the_same() => AnyResult.Sample(
        result =>
        {
            SameSummary(result);
            SameAlerts(result);
        },
        seed: "0000KOXEqz64", iter: 300, threads: 1);

    private static void SameSummary(SessionResult result)
    {
        using JsonDocument json = JsonDocument.Parse(Written.Bytes(ResultFiles.WriteSummaryJson, result));
        using JsonDocument line = JsonDocument.Parse(Written.Bytes(ResultFiles.WriteSummaryJsonLine, result));
        byte[] packed = Written.Bytes(ResultFiles.WriteSummaryMessagePack, result);
        Same(json.RootElement, packed);
        Same(line.RootElement, packed);
    }

    private static void SameAlerts(SessionResult result)
    {
        string lines = Written.Text(ResultFiles.WriteAlertsJsonLines, result);
        using JsonDocument json = JsonDocument.Parse("[" + string.Join(',', lines.Split('\n')[..^1]) + "]");
        Same(json.RootElement, Written.Bytes(ResultFiles.WriteAlertsMessagePack, result));
    }

    private static void Same(JsonElement json, byte[] packed)
    {
        var reader = new MessagePackReader(packed);
        Same("", json, ref reader);
        Assert.True(reader.End);
    }

    private static void Same(string path, JsonElement json, ref MessagePackReader packed)
    {
        switch (packed.NextMessagePackType)
        {
            case MessagePackType.Nil:
                packed.ReadNil();
                Assert.Equal((path, JsonValueKind.Null), (path, json.ValueKind));
                break;
            case MessagePackType.Boolean:
                Assert.Equal((path, json.GetBoolean()), (path, packed.ReadBoolean()));
                break;
            case MessagePackType.Integer:
                Assert.Equal((path, json.GetInt64()), (path, packed.ReadInt64()));
                break;
            case MessagePackType.Float:
                Assert.Equal((path, json.GetDouble()), (path, packed.ReadDouble()));
                break;
            case MessagePackType.String:
                Assert.Equal((path, json.GetString()), (path, packed.ReadString()));
                break;
            case MessagePackType.Array:
                JsonElement[] items = [.. json.EnumerateArray()];
                Assert.Equal((path, items.Length), (path, packed.ReadArrayHeader()));
                for (int i = 0; i < items.Length; i++) Same($"{path}[{i}]", items[i], ref packed);
                break;
            case MessagePackType.Map:
                JsonProperty[] fields = [.. json.EnumerateObject()];
                Assert.Equal((path, fields.Length), (path, packed.ReadMapHeader()));
                foreach (JsonProperty field in fields)
                {
                    Assert.Equal((path, field.Name), (path, packed.ReadString()));
                    Same($"{path}.{field.Name}", field.Value, ref packed);
                }
                break;
            default:
                Assert.Fail($"{path}: {packed.NextMessagePackType} is not used");
                break;
        }
    }
}
