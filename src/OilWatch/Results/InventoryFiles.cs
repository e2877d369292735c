using System.Buffers;
using OilWatch.Channels;
using OilWatch.Vibration;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>The inventory of a log's channels as JSON.</summary>
public static class InventoryFiles
{
    /// <summary>The inventory as one line of JSON. Ranges are in the channel's own unit; absent is null.</summary>
    public static void WriteJsonLine(ChannelInventory inventory, Stream target)
    {
        ArgumentNullException.ThrowIfNull(inventory);
        ArgumentNullException.ThrowIfNull(target);
        var buffer = new ArrayBufferWriter<byte>();
        JsonForm.Write(Content(inventory), buffer, indented: false);
        target.Write(buffer.WrittenSpan);
    }

    private static ResultValue Content(ChannelInventory inventory) => Map(
        ("format_version", Of(SummaryContent.FormatVersion)),
        ("log", Of(inventory.LogName)),
        ("log_format", Of(inventory.FormatName)),
        ("channels", List(inventory.Channels, Listing)),
        ("missing", List(inventory.Missing, missing => Map(
            ("role", Of(missing.Role.Key())),
            ("cost", Of(missing.Cost))))),
        ("notes", List(inventory.Notes, Of)),
        ("reading", ReportContent.Of(inventory.Reading)),
        ("assumptions", List(inventory.Assumptions, Of)),
        ("waveform", inventory.Waveform is { } waveform ? Waveform(waveform) : Absent));

    private static ResultValue Waveform(WaveListing waveform) => Map(
        ("source", Of(waveform.Source)),
        ("format", Of(waveform.FormatName)),
        ("stored", Of(waveform.Stored)),
        ("rate_hz", Rounded(waveform.RateHz, 3)),
        ("axes", List(waveform.RangeG, range => Map(("min_g", Significant(range.Min)), ("max_g", Significant(range.Max))))),
        ("samples", Of(waveform.Samples)),
        ("length_s", Seconds(waveform.LengthS)),
        ("start_s", Seconds(waveform.Start.Seconds)),
        ("end_s", Seconds(waveform.End.Seconds)),
        ("problems", List(waveform.Problems, problem => Of(problem.ToString()))));

    private static ResultValue Listing(ChannelListing listing) => Map(
        ("name", Of(listing.Channel.Name)),
        ("unit", Of(listing.Channel.Unit)),
        ("group", Of(listing.Channel.Group)),
        ("samples", Of(listing.Samples)),
        ("absent", Of(listing.Absent)),
        ("rate_hz", Rounded(listing.RateHz, 3)),
        ("min", Significant(listing.Min)),
        ("max", Significant(listing.Max)),
        ("gaps", Of(listing.GapCount)),
        ("gap_s", Seconds(listing.GapS)),
        ("role", Of(listing.Role?.Key())),
        ("why", Of(listing.Why)));
}
