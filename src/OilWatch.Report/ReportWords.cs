using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Report;

/// <summary>The words of the files in the words of people, the same on the console and in the report.</summary>
public static class ReportWords
{
    /// <summary>Where the healthy pressure comes from; see <see cref="Results.BaselineSummary.Origin"/>.</summary>
    public static string Origin(string origin) => origin switch
    {
        "this-run" => "what this engine showed on this run",
        "learned" => "this engine's stored baseline",
        "learned-as-it-ran" => "what the engine had shown up to each moment",
        "rule-of-thumb" => "a rule of thumb, 48 kPa (7 psi) for each 1000 rpm unless the car file says otherwise",
        _ => origin,
    };

    /// <summary>Such as <c>oil pressure</c>.</summary>
    public static string Name(Role role) => role.Key().Replace('_', ' ');

    /// <summary>Such as <c>oil starvation</c>.</summary>
    public static string Name(AlertKind kind) => kind.Word().Replace('-', ' ');

    /// <summary>Such as <c>left-hand corner</c>; empty for no load.</summary>
    public static string Load(LoadDirection direction) => direction switch
    {
        LoadDirection.Left => "left-hand corner",
        LoadDirection.Right => "right-hand corner",
        LoadDirection.Braking => "braking",
        LoadDirection.Accelerating => "accelerating",
        _ => "",
    };

    /// <summary>What more precisely, where that says more than the kind: which way a sensor failed, the name of a band; null otherwise.</summary>
    public static string? Detail(Alert alert)
    {
        ArgumentNullException.ThrowIfNull(alert);
        return alert.Kind != AlertKind.CrankcaseVacuumLoss ? alert.Detail : alert.Detail switch
        {
            null or "vacuum-lost" => null,
            "blow-by" => "blow-by",
            var other => other.Replace('-', ' '),
        };
    }

    /// <summary>The share of healthy at the worst moment; where a vacuum turned into pressure, none of it.</summary>
    public static string Share(Alert alert)
    {
        ArgumentNullException.ThrowIfNull(alert);
        return Quantities.Percent(alert.Kind == AlertKind.CrankcaseVacuumLoss && alert.MinRatio < 0 ? 0 : alert.MinRatio);
    }

    /// <summary>How an event ended, in words.</summary>
    public static string Ending(EventEnd end) => end switch
    {
        EventEnd.Recovered => "back to what it should be",
        EventEnd.EngineSlowed => "the engine slowed; not judged after that",
        EventEnd.DataLost => "the data were lost while it lasted",
        EventEnd.LogEnded => "it lasted until the log ended",
        _ => "it still lasts",
    };
}
