using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;
using OilWatch.Vibration;

namespace OilWatch.Alerts;

/// <summary>Turns a rise of vibration, or a stay in a speed band, into an alert with its words.</summary>
internal static class VibrationAlertText
{
    private static readonly ImmutableArray<string> Fasteners =
    [
        "engine and gearbox mounts", "pickup bracket, exhaust bolts and other fasteners for witness marks", "crank damper and its bolt", "chain guides or belt tensioner",
        "oil filter cut open for bearing material",
    ];

    /// <summary>The alert for a rise of vibration.</summary>
    public static Alert Alert(in VibrationRise rise, Place place)
    {
        string where = double.IsFinite(rise.FromRpm)
            ? string.Create(CultureInfo.InvariantCulture, $" from {rise.FromRpm:F0} to {rise.ToRpm:F0} rpm")
            : " at all engine speeds";
        string what = rise.Band is { } band ? $"Vibration in {band}" : "Vibration";
        // A narrow band says how much and at which frequency, as long as the level as a whole says less.
        bool isNarrow = rise.NarrowRatio > rise.WorstRatio;
        double ratio = isNarrow ? rise.NarrowRatio : rise.WorstRatio;
        if (isNarrow) what = string.Create(CultureInfo.InvariantCulture, $"{what} about {rise.NarrowHz:F0} Hz");
        return new Alert
        {
            Kind = AlertKind.VibrationBand,
            Severity = rise.Severity,
            Start = rise.Start,
            Raised = rise.Raised,
            End = rise.End,
            Ending = rise.Ending,
            Escalated = rise.SeverityAt > rise.Raised ? rise.SeverityAt : null,
            Lap = place.Lap,
            Corner = place.Corner,
            Channel = Role.Vibration,
            DurationS = rise.DurationS,
            RpmAtMin = Known(rise.RpmAtWorst),
            Detail = rise.Band,
            Reading = "something is coming loose, out of balance, or worn",
            Evidence =
            [
                string.Create(CultureInfo.InvariantCulture, $"level {rise.WorstRatio:F2} times healthy{where}"),
                string.Create(CultureInfo.InvariantCulture, $"{rise.Level:G3} {rise.Unit} where {rise.Healthy:G3} {rise.Unit} is healthy at {rise.RpmAtWorst:F0} rpm"),
                .. Narrow(in rise),
            ],
            Inspect = Fasteners,
            Message = string.Create(CultureInfo.InvariantCulture, $"{what} up to {ratio:F1} times healthy{where}: something may be coming loose."),
        };
    }

    private static string[] Narrow(in VibrationRise rise) => double.IsFinite(rise.NarrowHz)
        ? [string.Create(CultureInfo.InvariantCulture, $"{rise.NarrowRatio:F2} times healthy in a narrow band about {rise.NarrowHz:F0} Hz, which what rings there shows first")]
        : [];

    /// <summary>The alert for a stay in an engine-speed band to keep out of.</summary>
    public static Alert Alert(in BandStay stay, Place place) => new()
    {
        Kind = AlertKind.EngineSpeedBand,
        Severity = stay.Severity,
        Start = stay.Start,
        Raised = stay.Raised,
        End = stay.End,
        Ending = stay.Ending,
        Escalated = stay.SeverityAt > stay.Raised ? stay.SeverityAt : null,
        Lap = place.Lap,
        Corner = place.Corner,
        Channel = Role.EngineSpeed,
        DurationS = stay.InsideS,
        Revolutions = Known(stay.Revolutions),
        Detail = stay.Name,
        Reading = "engine speed held in a band that the car file says to stay out of",
        Evidence =
        [
            string.Create(CultureInfo.InvariantCulture, $"{stay.InsideS:F1} s inside at {stay.MeanRpm:F0} rpm on average"),
            string.Create(CultureInfo.InvariantCulture, $"{stay.LapInsideS:F1} s inside since the lap began"),
        ],
        Inspect = ["what the band protects: its bracket, bolts and welds"],
        Message = string.Create(CultureInfo.InvariantCulture, $"{stay.InsideS:F1} s in the band '{stay.Name}': change gear earlier or later."),
    };

    private static double? Known(double value) => double.IsFinite(value) ? value : null;
}
