using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Report;
using OilWatch.Results;

namespace OilWatch.Console.Text;

/// <summary>What a person reads after a run: may it go out again, what to look at, where it happened, what could not be judged.</summary>
internal sealed class SessionAnswer
{
    private const int MostLaps = 24;
    private const int MostCorners = 6;
    private const int MostMoments = 5;
    private const int MostInspections = 3;
    private const int MostSentences = 6;
    private const int MostEvidence = 4;

    private readonly SessionResult _result;
    private readonly Quantities _quantities;
    private readonly Page _page;
    private readonly string _rest;
    private readonly List<Alert> _worstFirst;

    private SessionAnswer(SessionResult result, Units units, bool colour, string? folder)
    {
        _result = result;
        _quantities = new Quantities(units);
        _page = new Page(colour, _quantities);
        _rest = folder is null ? "; --out FOLDER writes all of them" : "";
        _worstFirst = [.. result.Alerts.Where(alert => alert.Kind != AlertKind.SensorFault).Order(AlertOrder.WorstFirst)];
    }

    /// <summary>The answer for one log, lines of at most 80 columns.</summary>
    /// <param name="result">What was found.</param>
    /// <param name="units">Units of pressures and temperatures.</param>
    /// <param name="colour">True to colour marks.</param>
    /// <param name="folder">Where the result files are, or null when none were written.</param>
    public static string Of(SessionResult result, Units units, bool colour, string? folder)
    {
        var answer = new SessionAnswer(result, units, colour, folder);
        answer.Verdict();
        answer.Counts();
        answer.Why();
        answer.Inspections();
        answer.Moments();
        answer.Laps();
        answer.Corners();
        answer.SensorFaults();
        answer.NotJudged();
        answer.Basis();
        if (folder is not null) answer.Results(folder);
        return answer._page.ToString();
    }

    private void Results(string folder)
    {
        _page.Blank();
        _page.Wrapped($"Results are in {folder}");
    }

    private void Verdict()
    {
        string word = ResultWords.Of(_result.Verdict).ToUpperInvariant();
        string car = _result.CarName is { } name ? $", {name}" : "";
        _page.Rule();
        _page.Line(SeverityMarks.Tone(_result.Verdict), word, $"  {_result.LogName} ({_result.FormatName}{car})");
        _page.Wrapped(_result.Headline);
        string[] run =
        [
            _result.Laps.Length > 0 ? Quantities.Plural(_result.Laps.Length, "lap") : "no laps found",
            _result.EngineHours is { } hours ? Quantities.Number(hours, 2) + " engine hours" : "",
            _result.EngineRevolutions is { } turns ? Quantities.Count(turns) + " crank revolutions" : "",
            _result.AsLive ? "judged as the pit saw it" : "",
        ];
        _page.Wrapped(string.Join(", ", run.Where(part => part.Length > 0)));
        _page.Rule();
    }

    private void Counts()
    {
        if (_result.Alerts.Length == 0) return;
        foreach (IGrouping<Severity, Alert> group in _result.Alerts.GroupBy(alert => alert.Severity).OrderByDescending(group => group.Key))
        {
            IEnumerable<string> kinds = group.GroupBy(alert => alert.Kind).OrderBy(kind => kind.Key)
                .Select(kind => $"{kind.Key.Word()} {Quantities.Count(kind.Count())}");
            string mark = $"  {SeverityMarks.Shape(group.Key)} {group.Key.Word(),-9}";
            _page.Wrapped(string.Join(", ", kinds), mark + "  ", SeverityMarks.Tone(group.Key));
        }
    }

    /// <summary>The likely cause and the numbers behind it; nothing where there is nothing to explain.</summary>
    private void Why()
    {
        if (_result.Cause is not { Outcome: CauseOutcome.Named or CauseOutcome.CannotTell } cause) return;
        Heading("Why, as far as the run shows");
        _page.Wrapped(cause.Reading, "  ");
        _page.Bullets([.. cause.Evidence.Take(MostEvidence)], MostEvidence, _rest);
        _page.Bullets([.. cause.Also.Select(sentence => "beside it: " + sentence)], MostEvidence, _rest);
    }

    /// <summary>What most alerts, and the gravest of them, ask to be looked at.</summary>
    private void Inspections()
    {
        Inspection[] first = [.. OilWatch.Results.Inspections.First(_result).Take(MostInspections)];
        if (first.Length == 0) return;
        Heading("Look at first");
        for (int i = 0; i < first.Length; i++)
            _page.Wrapped(first[i].What, string.Create(CultureInfo.InvariantCulture, $"  {i + 1}. "));
    }

    private void Moments()
    {
        if (_worstFirst.Count == 0) return;
        Heading(_worstFirst.Count > MostMoments
            ? $"The {MostMoments} worst of {Quantities.Count(_worstFirst.Count)} alerts"
            : "Alerts, the worst first");
        foreach (Alert alert in _worstFirst.Take(MostMoments)) Moment(alert);
    }

    private void Moment(Alert alert)
    {
        string[] facts =
        [
            Where(alert),
            alert.Kind.Word() + (alert.Detail is { } detail ? $" ({detail})" : ""),
            Depth(alert),
            alert.DurationS is { } duration ? Quantities.Number(duration, 2) + " s" : "",
            alert.Revolutions is { } turns ? Quantities.Count(turns) + " rev" : "",
            alert.Ending is EventEnd.Recovered ? "" : alert.Ending.Word(),
        ];
        _page.Wrapped(
            string.Join(", ", facts.Where(fact => fact.Length > 0)),
            $"  {SeverityMarks.Shape(alert.Severity)} {alert.Severity.Word(),-9} ",
            SeverityMarks.Tone(alert.Severity));
        string sentence = alert.Message.Length > 0 ? alert.Message : alert.Reading ?? "";
        if (sentence.Length > 0) _page.Wrapped(sentence, new string(' ', 16));
    }

    private static string Where(Alert alert)
    {
        string at = "at " + Quantities.Number(alert.Start.Seconds, 1) + " s";
        string lap = alert.Lap is { } number ? string.Create(CultureInfo.InvariantCulture, $", lap {number}") : "";
        return at + lap + (alert.Corner is { } corner ? $", {corner}" : "");
    }

    private string Depth(Alert alert)
    {
        if (alert.MinKpa is null) return "";
        string of = alert.ExpectedKpa is null ? "" : " of " + _quantities.Pressure(alert.ExpectedKpa);
        string ratio = alert.MinRatio is null ? "" : $" ({Quantities.Percent(alert.MinRatio)})";
        return $"{_quantities.Pressure(alert.MinKpa)}{of} {_quantities.PressureUnit}{ratio}";
    }

    private void Laps()
    {
        if (_result.Laps.Length == 0) return;
        bool some = _result.Laps.Length > MostLaps;
        Heading(some
            ? $"Laps: the {MostLaps} worst of {Quantities.Count(_result.Laps.Length)}{(_rest.Length > 0 ? _rest : "; all are in laps.csv")}"
            : "Laps");
        var table = new TextTable(
            new TextColumn("lap"), new TextColumn("kind", IsName: true), new TextColumn("time"), new TextColumn("max rpm"), new TextColumn("max g"),
            new TextColumn($"min {_quantities.PressureUnit}"), new TextColumn("of healthy"), new TextColumn("starved"),
            new TextColumn($"max {_quantities.TemperatureUnit}"));
        foreach (LapSummary lap in some ? WorstLaps() : _result.Laps.AsEnumerable()) table.Add(Cells(lap));
        _page.Table(table);
    }

    private IEnumerable<LapSummary> WorstLaps() => _result.Laps
        .Select((lap, place) => (Lap: lap, Place: place))
        .OrderByDescending(entry => entry.Lap.StarvationS ?? 0)
        .ThenBy(entry => entry.Lap.OilPressureMinRatio ?? double.PositiveInfinity)
        .ThenBy(entry => entry.Place)
        .Take(MostLaps)
        .OrderBy(entry => entry.Place)
        .Select(entry => entry.Lap);

    private string[] Cells(LapSummary lap) =>
    [
        lap.Lap.ToString(CultureInfo.InvariantCulture),
        ResultWords.Of(lap.Kind),
        Quantities.Clock(lap.End.SecondsSince(lap.Start)),
        Quantities.Number(lap.PeakRpm, 0),
        Quantities.Number(lap.PeakLateralG, 2),
        _quantities.Pressure(lap.OilPressureMinKpa),
        Quantities.Percent(lap.OilPressureMinRatio),
        Starved(lap),
        _quantities.Temperature(lap.OilTemperatureMaxC),
    ];

    /// <summary>Times and seconds; <c>no</c> where it was judged and did not happen; empty where it could not be judged.</summary>
    private static string Starved(LapSummary lap) => lap.StarvationEvents switch
    {
        null => "",
        0 => "no",
        { } times => string.Create(CultureInfo.InvariantCulture, $"{times}x {Quantities.Number(lap.StarvationS, 1)} s"),
    };

    private void Corners()
    {
        if (_result.WorstCorners.Length == 0) return;
        bool some = _result.WorstCorners.Length > MostCorners;
        Heading(some ? $"Corners: the {MostCorners} worst of {Quantities.Count(_result.WorstCorners.Length)}" : "Corners, the worst first");
        var table = new TextTable(
            new TextColumn("corner", IsName: true), new TextColumn("starved"), new TextColumn("seconds"), new TextColumn("rev"),
            new TextColumn($"min {_quantities.PressureUnit}"), new TextColumn("of healthy"), new TextColumn("load before, s"));
        foreach (CornerHarm corner in _result.WorstCorners.Take(MostCorners))
        {
            table.Add(
                corner.Corner,
                string.Create(CultureInfo.InvariantCulture, $"{corner.Starved} of {corner.Passes}"),
                Quantities.Number(corner.StarvationS, 1),
                Quantities.Count(corner.StarvationRevolutions),
                _quantities.Pressure(corner.MinKpa),
                Quantities.Percent(corner.MinRatio),
                Quantities.Number(corner.MedianTimeToDropS, 1));
        }
        _page.Table(table);
    }

    private void SensorFaults()
    {
        List<Alert> faults = [.. _result.Alerts.Where(alert => alert.Kind == AlertKind.SensorFault).OrderByDescending(alert => alert.Severity)];
        if (faults.Count == 0) return;
        Heading("Sensors not to be believed");
        _page.Bullets([.. faults.Select(Fault)], MostSentences, _rest);
    }

    private static string Fault(Alert alert)
    {
        string detail = alert.Detail is null ? "" : $" {alert.Detail}";
        string length = alert.DurationS is { } duration ? $" for {Quantities.Number(duration, 1)} s" : "";
        string sentence = alert.Message.Length > 0 ? $": {alert.Message}" : "";
        return $"{alert.Channel.Key()}{detail}, {Where(alert)}{length}{sentence}";
    }

    private void NotJudged()
    {
        if (_result.NotJudged.Length == 0) return;
        Heading("Could not be judged");
        _page.Bullets(_result.NotJudged, MostSentences, _rest);
    }

    private void Basis()
    {
        Heading("How it was judged");
        if (_result.Baseline is { } baseline)
        {
            string spread = baseline.FitErrorKpa is { } error
                ? $", give or take {_quantities.Pressure(error)} {_quantities.PressureUnit}{(baseline.FitErrorRatio is { } ratio ? $" ({Quantities.Number(100 * ratio, 1)} %)" : "")}"
                : "";
            string calm = baseline.CalmS is { } seconds ? $", from {Quantities.Count(seconds)} s of calm running" : "";
            _page.Wrapped($"Healthy pressure is {ReportWords.Origin(baseline.Origin)}{calm}{spread}; confidence {baseline.Confidence}.", "  - ");
            _page.Bullets(baseline.Notes, MostSentences, _rest);
        }
        else
        {
            _page.Wrapped("Oil pressure was not judged.", "  - ");
        }
        _page.Bullets([.. _result.Plan.Notes, .. _result.Assumptions], MostSentences, _rest);
        if (_result.Reading.ProblemCount > 0)
            _page.Wrapped($"{Quantities.Plural(_result.Reading.ProblemCount, "problem")} while reading {Quantities.Plural(_result.Reading.Lines, "line")}.", "  - ");
    }

    private void Heading(string text)
    {
        _page.Blank();
        _page.Line(text);
    }
}
