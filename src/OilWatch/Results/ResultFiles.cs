using System.Buffers;
using System.Collections.Immutable;
using OilWatch.Alerts;

namespace OilWatch.Results;

/// <summary>The result files of a session, each written to a stream. Fields, units and rounding are in <c>docs/results.md</c>.</summary>
/// <remarks>
/// The same result gives the same bytes on every machine: invariant culture, fixed field order, rounding stated per field.
/// JSON and MessagePack are written from one tree of values. Absent or not finite is null, nil or an empty cell, never 0.
/// </remarks>
public static class ResultFiles
{
    /// <summary>Raised when a field is renamed or changes its meaning; not when one is added.</summary>
    public const int FormatVersion = SummaryContent.FormatVersion;

    /// <summary>All of them, in the order in which they are written.</summary>
    public static ImmutableArray<ResultFile> All { get; } =
    [
        new("alerts.jsonl", WriteAlertsJsonLines),
        new("laps.csv", WriteLapsCsv),
        new("corners.csv", WriteCornersCsv),
        new("summary.json", WriteSummaryJson),
        new("alerts.msgpack", WriteAlertsMessagePack),
        new("summary.msgpack", WriteSummaryMessagePack),
    ];

    /// <summary>Alerts as JSON Lines, in order of their start; nothing at all when there are none.</summary>
    public static void WriteAlertsJsonLines(SessionResult result, Stream target)
    {
        Check(result, target);
        var line = new ArrayBufferWriter<byte>();
        foreach (Alert alert in AlertFields.InOrder(result))
        {
            JsonForm.Write(Column.Row(AlertFields.All, alert), line, indented: false);
            target.Write(line.WrittenSpan);
            line.ResetWrittenCount();
        }
    }

    /// <summary>A step in an alert's life as one line of JSON: <c>phase</c> (<c>raised</c>, <c>escalated</c>, <c>ended</c>), <c>at_s</c>, <c>id</c>, then the fields of <c>alerts.jsonl</c> as they stand.</summary>
    public static void WriteAlertChangeJsonLine(AlertChange change, Stream target)
    {
        ArgumentNullException.ThrowIfNull(change);
        ArgumentNullException.ThrowIfNull(target);
        var row = (ResultValue.Fields)Column.Row(AlertFields.All, change.Alert);
        var line = new ResultValue.Fields(
        [
            ("phase", ResultValue.Of(change.Phase.Word())), ("at_s", ResultValue.Instant(change.At)), ("id", ResultValue.Of(change.Id)), .. row.Values,
        ]);
        Send(target, buffer => JsonForm.Write(line, buffer, indented: false));
    }

    /// <summary>Laps as CSV (RFC 4180), a header and a row a lap.</summary>
    public static void WriteLapsCsv(SessionResult result, Stream target)
    {
        Check(result, target);
        Send(target, buffer => CsvForm.Write(LapColumns.All, result.Laps, buffer));
    }

    /// <summary>Passes through corners as CSV (RFC 4180), a header and a row a pass.</summary>
    public static void WriteCornersCsv(SessionResult result, Stream target)
    {
        Check(result, target);
        Send(target, buffer => CsvForm.Write(CornerColumns.All, result.CornerPasses, buffer));
    }

    /// <summary>The summary as JSON, indented.</summary>
    public static void WriteSummaryJson(SessionResult result, Stream target)
    {
        Check(result, target);
        Send(target, buffer => JsonForm.Write(SummaryContent.Of(result), buffer, indented: true));
    }

    /// <summary>The same summary as one line of JSON, for standard output.</summary>
    public static void WriteSummaryJsonLine(SessionResult result, Stream target)
    {
        Check(result, target);
        Send(target, buffer => JsonForm.Write(SummaryContent.Of(result), buffer, indented: false));
    }

    /// <summary>Alerts as MessagePack: one array of maps, the same fields as in <c>alerts.jsonl</c>.</summary>
    public static void WriteAlertsMessagePack(SessionResult result, Stream target)
    {
        Check(result, target);
        var alerts = new ResultValue.Items([.. AlertFields.InOrder(result).Select(alert => Column.Row(AlertFields.All, alert))]);
        Send(target, buffer => MessagePackForm.Write(alerts, buffer));
    }

    /// <summary>The summary as MessagePack: one map, the same fields as in <c>summary.json</c>.</summary>
    public static void WriteSummaryMessagePack(SessionResult result, Stream target)
    {
        Check(result, target);
        Send(target, buffer => MessagePackForm.Write(SummaryContent.Of(result), buffer));
    }

    private static void Check(SessionResult result, Stream target)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(target);
    }

    private static void Send(Stream target, Action<IBufferWriter<byte>> write)
    {
        var buffer = new ArrayBufferWriter<byte>();
        write(buffer);
        target.Write(buffer.WrittenSpan);
    }
}
