using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Results;
using OilWatch.Results.Traces;
using OilWatch.Tests.Results;

namespace OilWatch.Report.Tests;

/// <summary>Sessions made up for the page, and pages read back as XML.</summary>
internal static class Sample
{
    /// <summary>What no name should be, and some are: markup, quotes, a forced direction, Hebrew, Arabic, a joined pictograph, half a pair, a control character.</summary>
    public const string Hostile = "<b>&amp;\"'</b><script>alert(1)</script>\u202Eevil\u202C שלום مرحبا 👩‍🔧\uD83D \u0007 javascript:x";

    /// <summary>Half an hour with as many alerts as asked for, every picture filled.</summary>
    public static SessionResult Long(int alertCount = 60, int lapCount = 24)
    {
        ImmutableArray<Alert> alerts = [.. Enumerable.Range(0, alertCount).Select(Alert)];
        return Sessions.Rich with
        {
            Alerts = alerts,
            Laps = [.. Enumerable.Range(0, lapCount).Select(Lap)],
            Corners = [.. Enumerable.Range(0, 12).Select(index => new Corner(index, Corner(index), index % 2 == 0 ? LoadDirection.Left : LoadDirection.Right, index * 200, (index * 200) + 90))],
            CornerPasses = [.. Enumerable.Range(0, lapCount * 12).Select(Pass)],
            Traces = new SessionTraces
            {
                Alerts = [.. alerts.Order(AlertOrder.WorstFirst).Take(40).Select(Trace)],
                PressureRatio = new RunStrip(new LogTime(0), 0.25, [.. Enumerable.Range(0, 7200).Select(bin => bin % 300 < 12 ? 0.4f : bin % 977 == 0 ? float.NaN : 0.97f + (0.02f * MathF.Sin(bin)))]),
                Pressure = Cloud(0, 10, rpm => rpm / 20),
                Crankcase = Cloud(-100, 0.5, rpm => 90 - (rpm / 400)),
                Vibration = Cloud(0, 0.05, rpm => rpm / 200),
                VibrationMap = new VibrationMap(1000, 250, 10, 60, [.. Enumerable.Range(0, 24 * 60).Select(Level)], [0.5, 1, 2, 4]),
            },
            Limits = [.. Cars.LimitTable.All],
        };
    }

    /// <summary>The page as text.</summary>
    public static string Page(SessionResult result, ReportOptions? options = null)
    {
        using var page = new MemoryStream();
        SessionReport.Write(result, options ?? ReportOptions.Default, page);
        return Encoding.UTF8.GetString(page.ToArray());
    }

    /// <summary>The page as XML: it is not a page unless it is well formed.</summary>
    public static XDocument Parsed(string page)
    {
        using var text = new StringReader(page);
        using var reader = XmlReader.Create(text, new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore, XmlResolver = null });
        return XDocument.Load(reader, System.Xml.Linq.LoadOptions.PreserveWhitespace);
    }

    /// <summary>The words of a part of the page, without runs of blanks.</summary>
    public static string Words(XElement element) => string.Join(' ', element.DescendantNodes().OfType<XText>().Select(text => text.Value.Trim()).Where(text => text.Length > 0));

    /// <summary>The element with an id.</summary>
    public static XElement WithId(XDocument page, string id) => page.Descendants().Single(element => string.Equals((string?)element.Attribute("id"), id, StringComparison.Ordinal));

    private static Alert Alert(int number) => Sessions.Starvation with
    {
        Severity = (Severity)(number % 3),
        Start = LogTime.FromSeconds(20 + (number * 29.3)),
        Raised = LogTime.FromSeconds(20.35 + (number * 29.3)),
        End = LogTime.FromSeconds(22.5 + (number * 29.3)),
        Lap = number / 3,
        Corner = Corner(number % 12),
        MinKpa = 95 + number,
        MinRatio = 0.2 + (0.01 * number),
        Direction = number % 2 == 0 ? LoadDirection.Left : LoadDirection.Right,
    };

    private static string Corner(int index) => string.Create(CultureInfo.InvariantCulture, $"C{index + 1}{(index % 2 == 0 ? 'L' : 'R')}");

    private static LapSummary Lap(int number) => Sessions.Rich.Laps[0] with
    {
        Lap = number,
        Kind = number == 0 ? LapKind.Out : LapKind.Timed,
        Start = LogTime.FromSeconds(number * 75),
        End = LogTime.FromSeconds((number + 1) * 75),
        StarvationEvents = number % 3,
    };

    private static CornerPass Pass(int number) => new()
    {
        Lap = number / 12,
        Corner = Corner(number % 12),
        Direction = number % 2 == 0 ? LoadDirection.Left : LoadDirection.Right,
        Entry = LogTime.FromSeconds(number * 6.2),
        Exit = LogTime.FromSeconds((number * 6.2) + 4),
        SustainedS = 1.5 + (number % 7 * 0.4),
        PeakLateralG = 0.5 + (number % 9 * 0.11),
        TimeToDropS = number % 4 == 0 ? 1 + (number % 5 * 0.3) : null,
        Starved = number % 4 == 0,
    };

    private static AlertTrace Trace(Alert alert) => new(alert,
    [
        .. Enumerable.Range(0, 600).Select(place =>
        {
            double t = (place / 60.0) - 4;
            bool below = t is > 0 and < 2.5;
            return new TracePoint
            {
                At = alert.Start.AddSeconds(t),
                PressureKpa = (float)((below ? 120 : 400) + (7 * Math.Sin(place * 0.9)) + (place * 7919 % 13)),
                ExpectedKpa = (float)(410 + (12 * Math.Sin(place * 0.05))),
                SpreadKpa = 6,
                LateralG = (float)(1.2 * Math.Sin(t / 3)),
                LongitudinalG = (float)(0.5 * Math.Cos(t)),
                SpeedRpm = (float)(6200 + (900 * Math.Sin(t * 2)) + (place * 31 % 17)),
                CrankcaseKpa = (float)(-40 + (3 * Math.Sin(place))),
                VibrationLevel = (float)(2 + Math.Sin(place * 1.7)),
                OilTemperatureC = 104,
            };
        }),
    ]);

    private static SpeedCloud Cloud(double floor, double step, Func<double, double> row) => new(125, floor, step,
    [
        .. Enumerable.Range(6, 52).SelectMany(column => Enumerable.Range(-3, 7)
            .Select(off => new SpeedCell(column, Math.Max(0, (int)(row(column * 125) / 10) + off), 1f + (column * off * off % 37)))
            .DistinctBy(cell => cell.Row)),
    ]);

    private static float Level(int cell)
    {
        double rpm = 1000 + (cell / 60 * 250), hz = cell % 60 * 10;
        double near = new[] { 0.5, 1, 2, 4 }.Min(order => Math.Abs(hz - (rpm / 60 * order)));
        return cell / 60 == 3 ? float.NaN : (float)(2 * Math.Exp(-near / 15));
    }
}
