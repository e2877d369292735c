using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;
using OilWatch.Crankcase;

namespace OilWatch.Alerts;

/// <summary>Turns the measurements of a crankcase event into an alert with its words.</summary>
internal static class CrankcaseAlertText
{
    /// <summary>The alert for an event.</summary>
    public static Alert Alert(in CrankcaseEvent found, Place place)
    {
        (string reading, ImmutableArray<string> inspect) = Cause(in found);
        return new Alert
        {
            Kind = AlertKind.CrankcaseVacuumLoss,
            Severity = found.Severity,
            Start = found.Start,
            Raised = found.Raised,
            End = found.End,
            Ending = found.Ending,
            Escalated = found.SeverityAt > found.Raised ? found.SeverityAt : null,
            Lap = place.Lap,
            Corner = place.Corner,
            Channel = Role.CrankcasePressure,
            MinKpa = Known(found.WorstKpa),
            ExpectedKpa = Known(found.ExpectedKpa),
            MinRatio = Known(found.MinRatio),
            DurationS = Known(found.DurationS),
            Revolutions = Known(found.Revolutions),
            RpmAtMin = Known(found.RpmAtWorst),
            OilTemperatureC = Known(found.OilTemperatureC),
            Detail = found.Cause switch
            {
                CrankcaseCause.VacuumLost => "vacuum-lost",
                CrankcaseCause.BlowBy => "blow-by",
                _ => "too-deep",
            },
            Reading = reading,
            Evidence = EvidenceOf(in found),
            Inspect = inspect,
            Message = MessageOf(in found),
        };
    }

    private static double? Known(double value) => double.IsFinite(value) ? value : null;

    private static (string Reading, ImmutableArray<string> Inspect) Cause(in CrankcaseEvent found) => found.Cause switch
    {
        CrankcaseCause.VacuumLost when found.UnderPressure => (
            "crankcase vacuum lost and the crankcase under pressure: vacuum pump, its belt or line",
            ["vacuum pump belt and pulley", "vacuum line, fittings and breather for a leak or a block", "seals and gaskets for oil pushed out",
                "piston rings: leak-down of each cylinder"]),
        CrankcaseCause.VacuumLost => (
            "crankcase vacuum lost: vacuum pump, its belt or line, a seal, or more blow-by",
            ["vacuum pump belt and pulley", "vacuum line, fittings, oil cap and dipstick seal for a leak", "crank seals and gaskets",
                "vacuum regulator", "piston rings: leak-down of each cylinder"]),
        CrankcaseCause.BlowBy => (
            "crankcase under pressure under load: blow-by past the rings, or a breather that is blocked",
            ["breather and its hoses, catch tank", "piston rings: leak-down of each cylinder", "seals and gaskets for oil pushed out", "crankcase ventilation valve"]),
        _ => (
            "crankcase pulled too deep: the regulator, or a breather that is blocked",
            ["vacuum regulator and its setting", "breather for a block", "crank seals and gaskets for being pulled in", "piston pins and cylinder walls for want of oil"]),
    };

    private static ImmutableArray<string> EvidenceOf(in CrankcaseEvent found)
    {
        ImmutableArray<string>.Builder evidence = ImmutableArray.CreateBuilder<string>();
        if (found.Cause == CrankcaseCause.VacuumLost)
        {
            evidence.Add(string.Create(CultureInfo.InvariantCulture,
                $"crankcase at {found.WorstKpa:F1} kPa where {found.ExpectedKpa:F1} kPa is healthy at {found.RpmAtWorst:F0} rpm: {100 * Math.Max(0, found.MinRatio):F0} % of the vacuum"));
            if (found.UnderPressure) evidence.Add("above ambient under load");
        }
        else
        {
            evidence.Add(string.Create(CultureInfo.InvariantCulture, $"crankcase at {found.WorstKpa:F1} kPa at {found.RpmAtWorst:F0} rpm"));
            if (double.IsFinite(found.ExpectedKpa))
                evidence.Add(string.Create(CultureInfo.InvariantCulture, $"{found.ExpectedKpa:F1} kPa is usual there in this run"));
        }
        evidence.Add(string.Create(CultureInfo.InvariantCulture, $"for {found.DurationS:F0} s and {found.Revolutions:F0} crank revolutions"));
        if (found.Ending == EventEnd.LogEnded) evidence.Add("it lasted until the log ended");
        if (found.Ending == EventEnd.EngineSlowed) evidence.Add("it lasted until the engine stopped");
        if (found.Ending == EventEnd.DataLost) evidence.Add("the data were lost while it lasted");
        return evidence.ToImmutable();
    }

    private static string MessageOf(in CrankcaseEvent found)
    {
        string act = found.Severity switch
        {
            Severity.Warning => "Ease off and come in.",
            Severity.Caution => "Come in and look.",
            _ => "Keep an eye on it.",
        };
        return found.Cause switch
        {
            CrankcaseCause.VacuumLost => FormattableString.Invariant($"Crankcase vacuum down to {100 * Math.Max(0, found.MinRatio):F0} % of healthy. {act}"),
            CrankcaseCause.BlowBy => FormattableString.Invariant($"Crankcase under pressure under load: {found.WorstKpa:F1} kPa. {act}"),
            _ => FormattableString.Invariant($"Crankcase vacuum too deep: {-found.WorstKpa:F0} kPa below ambient. {act}"),
        };
    }
}
