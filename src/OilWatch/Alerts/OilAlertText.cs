using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Alerts;

/// <summary>Turns the measurements of a pressure drop into an alert with its words.</summary>
internal static class OilAlertText
{
    /// <summary>The alert for a drop.</summary>
    /// <param name="drop">Its measurements.</param>
    /// <param name="place">Where it began.</param>
    /// <param name="loadKnown">False when no acceleration channel says which way the car was loaded.</param>
    public static Alert Alert(in PressureDrop drop, Place place, bool loadKnown)
    {
        bool starved = drop.Direction != LoadDirection.None;
        var alert = new Alert
        {
            Kind = starved ? AlertKind.OilStarvation : AlertKind.LowOilPressure,
            Severity = drop.Severity,
            Start = drop.Start,
            Raised = drop.Raised,
            End = drop.End,
            Ending = drop.Ending,
            Escalated = drop.SeverityAt > drop.Raised ? drop.SeverityAt : null,
            Lap = place.Lap,
            Corner = place.Corner,
            Channel = Role.OilPressure,
            MinKpa = Known(drop.MinKpa),
            ExpectedKpa = Known(drop.ExpectedKpa),
            MinRatio = Known(drop.MinRatio),
            DurationS = Known(drop.DurationS),
            DeficitKpaS = Known(drop.DeficitKpaS),
            Revolutions = Known(drop.Revolutions),
            PeakLateralG = Known(drop.PeakLateralG),
            Direction = drop.Direction,
            LoadBeforeS = Known(drop.LoadBeforeS),
            OtherDirection = drop.OtherDirection,
            OtherLoadS = drop.OtherLoadS,
            RpmAtMin = Known(drop.RpmAtMin),
            OilTemperatureC = Known(drop.OilTemperatureC),
        };
        return alert with
        {
            Reading = starved ? Uncovered(drop.Direction) : loadKnown ? Unexplained : LoadUnknown,
            Evidence = EvidenceOf(in drop, loadKnown),
            Message = MessageOf(drop.Direction, drop.Severity, drop.MinKpa, drop.ExpectedKpa, place.Corner),
        };
    }

    /// <summary>The alert of a drop that turned out to answer to the other of the two loads that acted.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="place">Where the other load puts it.</param>
    public static Alert Turned(Alert alert, Place place)
    {
        string before = LoadSentence(alert.Direction, alert.LoadBeforeS ?? 0, alert.PeakLateralG ?? double.NaN);
        string after = LoadSentence(alert.OtherDirection, alert.OtherLoadS, alert.PeakLateralG ?? double.NaN);
        return alert with
        {
            Direction = alert.OtherDirection,
            LoadBeforeS = Known(alert.OtherLoadS),
            OtherDirection = alert.Direction,
            OtherLoadS = alert.LoadBeforeS ?? double.NaN,
            Lap = place.Lap,
            Corner = place.Corner,
            Evidence = [.. alert.Evidence.Select(sentence => string.Equals(sentence, before, StringComparison.Ordinal) ? after : sentence)],
            Message = MessageOf(alert.OtherDirection, alert.Severity, alert.MinKpa ?? double.NaN, alert.ExpectedKpa ?? double.NaN, place.Corner),
        };
    }

    /// <summary>The reading of a drop without load while nothing more is known.</summary>
    public const string Unexplained = "cannot tell: oil pressure lost without sustained load; pump, pickup, relief valve, a leak or the sensor";

    /// <summary>The reading of a drop where no load is known.</summary>
    public const string LoadUnknown = "cannot tell: no acceleration channel says whether the car was loaded";

    /// <summary>The reading of a drop under load.</summary>
    public static string Uncovered(LoadDirection direction) => direction is LoadDirection.Left or LoadDirection.Right
        ? $"oil pickup uncovered in a {direction.Word()}-hand corner"
        : $"oil pickup uncovered while {direction.Word()}";

    private static double? Known(double value) => double.IsFinite(value) ? value : null;

    private static ImmutableArray<string> EvidenceOf(in PressureDrop drop, bool loadKnown)
    {
        ImmutableArray<string>.Builder evidence = ImmutableArray.CreateBuilder<string>();
        evidence.Add(string.Create(CultureInfo.InvariantCulture,
            $"pressure fell to {drop.MinKpa:F0} kPa where {drop.ExpectedKpa:F0} kPa is healthy at {drop.RpmAtMin:F0} rpm"));
        if (double.IsFinite(drop.DisbelievedKpa))
            evidence.Add(string.Create(CultureInfo.InvariantCulture, $"this run's own curve is as low, {drop.DisbelievedKpa:F0} kPa there, which endangers bearings: what is healthy is a rule of thumb"));
        if (drop.DangerKpa > 0)
            evidence.Add(string.Create(CultureInfo.InvariantCulture, $"bearings are in danger below {drop.DangerKpa:F0} kPa at that speed, however little is usual in this run"));
        evidence.Add(string.Create(CultureInfo.InvariantCulture, $"below for {drop.DurationS:F2} s and {drop.Revolutions:F0} crank revolutions"));
        if (drop.Direction != LoadDirection.None)
        {
            evidence.Add(LoadSentence(drop.Direction, drop.LoadBeforeS, drop.PeakLateralG));
        }
        else if (loadKnown)
        {
            evidence.Add("no sustained load explains it");
        }
        if (drop.Returns > 0) evidence.Add(string.Create(CultureInfo.InvariantCulture, $"it came back and fell again {drop.Returns} times"));
        if (drop.Ending == EventEnd.LogEnded) evidence.Add("it lasted until the log ended");
        if (drop.Ending == EventEnd.DataLost) evidence.Add("the data were lost while it lasted");
        if (drop.SensorDoubtful) evidence.Add("the pressure sensor is suspect: its readings fell oddly");
        return evidence.ToImmutable();
    }

    private static string LoadSentence(LoadDirection direction, double loadS, double peakG) => peakG > 0 && direction is LoadDirection.Left or LoadDirection.Right
        ? string.Create(CultureInfo.InvariantCulture, $"{loadS:F1} s of sustained load came before, {peakG:F2} g at most")
        : string.Create(CultureInfo.InvariantCulture, $"{loadS:F1} s of sustained load came before");

    private static string MessageOf(LoadDirection direction, Severity severity, double minKpa, double expectedKpa, string? corner)
    {
        string where = (direction, corner) switch
        {
            (LoadDirection.None, null) => "",
            (LoadDirection.None, { } label) => $" near {label}",
            (LoadDirection.Braking, { } label) => $" braking for {label}",
            (LoadDirection.Braking, null) => " under braking",
            (LoadDirection.Accelerating, _) => " under power",
            (_, { } label) => $" in {label}",
            (LoadDirection.Left, null) => " in a left-hand corner",
            _ => " in a right-hand corner",
        };
        string act = severity switch
        {
            Severity.Warning => "Ease off now",
            Severity.Caution => "Ease off there",
            _ => "Keep an eye on it",
        };
        return string.Create(CultureInfo.InvariantCulture,
            $"Oil pressure low{where}: {minKpa:F0} kPa, healthy is {expectedKpa:F0}. {act}.");
    }
}
