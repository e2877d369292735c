using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Report.Plots;
using OilWatch.Results.Traces;

namespace OilWatch.Report.Sections;

/// <summary>One alert close up: pressure against expected, load, engine speed and whatever else spoke, on one time axis.</summary>
internal sealed class CloseUp
{
    private const int MostOthers = 5;
    private const int MostEvidence = 8;
    private readonly PageContext _page;
    private readonly Alert _alert;
    private readonly AlertTrace _trace;
    private readonly Axis _time;
    private readonly double _endS;

    private CloseUp(PageContext page, Alert alert, AlertTrace trace)
    {
        _page = page;
        _alert = alert;
        _trace = trace;
        _time = Axis.Exactly(trace.Points[0].At.SecondsSince(alert.Start), trace.Points[^1].At.SecondsSince(alert.Start));
        _endS = alert.End.SecondsSince(alert.Start);
    }

    /// <summary>Writes it.</summary>
    /// <param name="page">The page.</param>
    /// <param name="number">Its number on the page, from 1.</param>
    /// <param name="alert">The alert.</param>
    /// <param name="trace">The readings around it, two or more.</param>
    public static void Write(PageContext page, int number, Alert alert, AlertTrace trace)
    {
        var closeUp = new CloseUp(page, alert, trace);
        string id = $"closeup-{number}";
        using (page.Html.Open("article", ("class", "closeup"), ("id", id), ("aria-labelledby", id + "-h")))
        {
            using (page.Html.Open("header"))
            {
                using (page.Html.Open("h3", ("id", id + "-h")))
                {
                    page.Html.Text($"{number}. {closeUp.Title()}");
                    if (ReportWords.Detail(alert) is { } detail)
                    {
                        page.Html.Text(", ");
                        page.Html.Name(detail);
                    }
                }
                SeverityMark.Write(page.Html, alert.Severity);
            }
            closeUp.Figures();
            closeUp.Panels();
            // What the whole run showed is said once, before the laps.
            page.Bullets(alert.Evidence.IsDefault ? [] : [.. alert.Evidence.Where(sentence => !sentence.StartsWith("over the run: ", StringComparison.Ordinal))], MostEvidence, "alerts.jsonl");
        }
    }

    /// <summary>What the lines and areas of all close-ups mean.</summary>
    public static void Key(PageContext page)
    {
        using (page.Html.Open("ul", ("class", "key")))
        {
            Item(() => SvgPlot.LineSign(page.Html, "line pressure"), "pressure measured");
            Item(() => SvgPlot.LineSign(page.Html, "line healthy"), "pressure if healthy");
            Item(() => SvgPlot.AreaSign(page.Html, "area band"), "its band (two standard deviations either way)");
            Item(() => SvgPlot.AreaSign(page.Html, "area shortfall"), "pressure missing");
            Item(() => SvgPlot.AreaSign(page.Html, "area event"), "while the alert lasted");
            Item(() => SvgPlot.LineSign(page.Html, "line raised"), "raised: known in the pit");
        }

        void Item(Action sign, string word)
        {
            using (page.Html.Open("li"))
            {
                sign();
                page.Html.Text(word);
            }
        }
    }

    private string Title()
    {
        string what = _alert.Kind == AlertKind.SensorFault ? $"sensor: {ReportWords.Name(_alert.Channel)}" : ReportWords.Name(_alert.Kind);
        string where = _alert.Corner is { } corner ? $" in {corner}" : "";
        return $"{char.ToUpperInvariant(what[0])}{what[1..]}{where}{(_alert.Lap is { } lap ? string.Create(CultureInfo.InvariantCulture, $", lap {lap}") : "")}";
    }

    private void Figures()
    {
        (string Name, string Value)[] figures =
        [
            (_alert.Kind == AlertKind.CrankcaseVacuumLoss ? "Crankcase at its worst" : "Lowest", Depth()),
            ("Lasted", _alert.DurationS is { } length ? $"{Quantities.Number(length, 2)} s{(_alert.Revolutions is { } turns ? $", {Quantities.Count(turns)} revolutions" : "")}" : ""),
            ("Load", _alert.Direction == LoadDirection.None ? "" : Load()),
            ("Engine", _alert.RpmAtMin is { } rpm ? $"{Quantities.Count(rpm)} rpm{(_alert.OilTemperatureC is { } oil ? $", oil {_page.Shown.Temperature(oil)} {_page.Shown.TemperatureUnit}" : "")}" : ""),
            ("Began at", $"{Quantities.Number(_alert.Start.Seconds, 2)} s in the log"),
            ("Ended", ReportWords.Ending(_alert.Ending)),
        ];
        using (_page.Html.Open("dl", ("class", "figures")))
        {
            foreach ((string name, string value) in figures.Where(figure => figure.Value.Length > 0))
            {
                using (_page.Html.Open("div"))
                {
                    _page.Html.Leaf("dt", name + " ");
                    _page.Html.Leaf("dd", value);
                }
            }
        }
    }

    private string Depth() => _alert.Kind != AlertKind.CrankcaseVacuumLoss
        ? _page.Depth(_alert.MinKpa, _alert.ExpectedKpa, _alert.MinRatio)
        : _alert.MinKpa is null ? ""
        : $"{_page.Shown.SmallPressure(_alert.MinKpa)}{(_alert.ExpectedKpa is { } healthy ? $" where {_page.Shown.SmallPressure(healthy)} is healthy" : "")}, {_page.Shown.PressureUnit}".Replace('-', '\u2212');

    private string Load()
    {
        string before = _alert.LoadBeforeS is { } seconds ? $", {Quantities.Number(seconds, 1)} s of it before" : "";
        return $"{ReportWords.Load(_alert.Direction)}{(_alert.PeakLateralG is { } g ? $", {Quantities.Number(g, 2)} g" : "")}{before}";
    }

    private void Panels()
    {
        bool pressure = Any(point => point.PressureKpa) || Any(point => point.ExpectedKpa);
        bool crankcase = Any(point => point.CrankcaseKpa);
        bool temperature = _alert.Kind == AlertKind.OilTemperature && Any(point => point.OilTemperatureC);
        bool vibration = Any(point => point.VibrationLevel);
        using (_page.Html.Open("figure"))
        {
            if (pressure) Pressure();
            if (Any(point => point.LateralG) || Any(point => point.LongitudinalG)) Load(60);
            Alert[] others = Others();
            Panel("Engine speed, rpm", "Engine speed", point => point.SpeedRpm, last: !crankcase && !temperature && !vibration && others.Length == 0);
            if (crankcase) Panel($"Crankcase pressure, {_page.Shown.PressureUnit}", "Crankcase pressure", point => _page.Shown.InPressureUnit(point.CrankcaseKpa), last: !temperature && !vibration && others.Length == 0);
            if (temperature) Panel($"Oil temperature, {_page.Shown.TemperatureUnit}", "Oil temperature", point => _page.Shown.InTemperatureUnit(point.OilTemperatureC), last: !vibration && others.Length == 0);
            if (vibration) Panel($"Vibration, {_page.Result.Plan.UnitOf(Role.Vibration)}", "Vibration", point => point.VibrationLevel, last: others.Length == 0);
            if (others.Length > 0) Also(others);
            _page.Html.Leaf("p", "seconds from its beginning", ("class", "x-title"));
        }
    }

    private void Pressure()
    {
        double most = _trace.Points.Max(point => Math.Max(Number(point.PressureKpa), Number(point.ExpectedKpa + (2 * Number(point.SpreadKpa)))));
        Axis up = Axis.Around(0, _page.Shown.InPressureUnit(Math.Max(most, 50)), 4);
        AxisTitle($"Oil pressure, {_page.Shown.PressureUnit}");
        SvgPlot.Draw(_page.Html, _time, up, 168, Alt("Oil pressure against healthy"), plot =>
        {
            Frame(plot, words: true);
            plot.Area(_trace.Points.Select(point => (At(point), In(point.ExpectedKpa - (2 * point.SpreadKpa)), In(point.ExpectedKpa + (2 * point.SpreadKpa)))), "band");
            if (_alert.Kind is AlertKind.OilStarvation or AlertKind.LowOilPressure)
                plot.Area(_trace.Points.Select(point => (At(point), In(point.PressureKpa), Missing(point))), "shortfall");
            plot.Line(_trace.Points.Select(point => (At(point), In(point.ExpectedKpa))), "healthy");
            plot.Line(_trace.Points.Select(point => (At(point), In(point.PressureKpa))), "pressure");
        }, texts: false);
    }

    /// <summary>The healthy pressure where the measured one lies below it while the alert lasted; otherwise nothing.</summary>
    private double Missing(TracePoint point) =>
        At(point) >= 0 && At(point) <= _endS && point.PressureKpa < point.ExpectedKpa ? In(point.ExpectedKpa) : double.NaN;

    private void Load(int heightPx)
    {
        double low = _trace.Points.Min(point => Math.Min(Number(point.LateralG), Number(point.LongitudinalG)));
        double high = _trace.Points.Max(point => Math.Max(Number(point.LateralG), Number(point.LongitudinalG)));
        using (_page.Html.Open("p", ("class", "axis-title")))
        {
            _page.Html.Leaf("b", "Sustained load, g");
            using (_page.Html.Open("span"))
            {
                SvgPlot.LineSign(_page.Html, "line plainline");
                _page.Html.Text(" lateral, left is +");
            }
            using (_page.Html.Open("span"))
            {
                SvgPlot.LineSign(_page.Html, "line second");
                _page.Html.Text(" lengthwise, braking is \u2212");
            }
        }
        SvgPlot.Draw(_page.Html, _time, Axis.Around(Math.Min(low, -0.5), Math.Max(high, 0.5), 3), heightPx + 20, Alt("Lateral and longitudinal acceleration"), plot =>
        {
            Frame(plot, words: false);
            plot.Level(0, "zero");
            plot.Line(_trace.Points.Select(point => (At(point), (double)point.LongitudinalG)), "second");
            plot.Line(_trace.Points.Select(point => (At(point), (double)point.LateralG)), "plainline");
        }, texts: false);
    }

    private void Panel(string title, string what, Func<TracePoint, double> value, bool last)
    {
        double[] known = [.. _trace.Points.Select(value).Where(double.IsFinite)];
        AxisTitle(title);
        SvgPlot.Draw(_page.Html, _time, known.Length == 0 ? Axis.Around(0, 1, 3) : Axis.Around(known.Min(), known.Max(), 3), 70, Alt(known.Length == 0 ? what + ": no reading" : what), plot =>
        {
            Frame(plot, words: false);
            plot.Line(_trace.Points.Select(point => (At(point), value(point))), "plainline");
        }, last);
    }

    /// <summary>Other alerts at the same time, as bars on the same axis.</summary>
    private void Also(Alert[] others)
    {
        AxisTitle("At the same time");
        SvgPlot.Draw(_page.Html, _time, Axis.Exactly(0, others.Length), Math.Max(30, others.Length * 26), Alt("Other alerts: " + string.Join(", ", others.Select(Spoke))), plot =>
        {
            foreach ((int place, Alert other) in others.Index())
            {
                double top = others.Length - place;
                double from = Math.Max(_time.From, other.Start.SecondsSince(_alert.Start)), to = Math.Min(_time.To, other.End.SecondsSince(_alert.Start));
                plot.Box(from, to, top - 0.9, top - 0.6, "other");
                plot.Note(_time.From, top - 0.35, Spoke(other));
            }
        }, upTicks: false);
    }

    private static string Spoke(Alert other) =>
        $"{(other.Kind == AlertKind.SensorFault ? "sensor fault: " + ReportWords.Name(other.Channel) : ReportWords.Name(other.Kind))} ({other.Severity.Word()})";

    private Alert[] Others() =>
    [
        .. _page.Result.Alerts
            .Where(other => !ReferenceEquals(other, _alert) && other.Start <= _trace.Points[^1].At && other.End >= _trace.Points[0].At)
            .Order(Results.AlertOrder.WorstFirst)
            .Take(MostOthers)
            .OrderBy(other => other.Start),
    ];

    private void Frame(SvgPlot plot, bool words)
    {
        plot.Span(0, Math.Max(_endS, 0), "event");
        plot.Upright(_alert.Raised.SecondsSince(_alert.Start), "raised", words ? "raised" : null);
    }

    private void AxisTitle(string title)
    {
        using (_page.Html.Open("p", ("class", "axis-title"))) _page.Html.Leaf("b", title);
    }

    private string Alt(string what) => $"{what} over time, from {Quantities.Number(_time.From, 1)} to {Quantities.Number(_time.To, 1)} s around the beginning of alert: {Title()}. {AltFigures()}";

    private string AltFigures() => _alert.MinKpa is null ? "" : $"{(_alert.Kind == AlertKind.CrankcaseVacuumLoss ? "Crankcase" : "Lowest")} {Depth()}, {Quantities.Number(_alert.DurationS, 2)} s.";

    private bool Any(Func<TracePoint, float> value) => _trace.Points.Any(point => float.IsFinite(value(point)));

    private double At(TracePoint point) => point.At.SecondsSince(_alert.Start);

    private double In(double kpa) => _page.Shown.InPressureUnit(kpa);

    /// <summary>Zero for what is absent: only to find the range of an axis, never drawn.</summary>
    private static double Number(double value) => double.IsFinite(value) ? value : 0;
}
