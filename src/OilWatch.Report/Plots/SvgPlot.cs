using System.Globalization;
using OilWatch.Report.Markup;

namespace OilWatch.Report.Plots;

/// <summary>A plot drawn as SVG into the page.</summary>
/// <remarks>
/// It has no width of its own: lines and shapes are placed by share of the plot and stretch with the page, letters and marks keep their size. So the same
/// plot is readable on a phone, on a wide screen and on paper. Colours are classes of the page's style sheet, so that it follows light and dark.
/// </remarks>
internal sealed class SvgPlot
{
    private const int GridX = 2000;
    private const int GridY = 1000;
    private const int MostTicksOnPhone = 6;
    private const double MissingBelow = 0.9;               // an advisory begins at 10 % below healthy
    private readonly HtmlWriter _html;
    private readonly Axis _across;
    private readonly Axis _up;

    private SvgPlot(HtmlWriter html, Axis across, Axis up)
    {
        _html = html;
        _across = across;
        _up = up;
    }

    /// <summary>Draws a plot.</summary>
    /// <param name="html">Where to.</param>
    /// <param name="across">The axis from left to right.</param>
    /// <param name="up">The axis from bottom to top.</param>
    /// <param name="heightPx">Height of the plot without the text below it, CSS pixels.</param>
    /// <param name="alt">What the picture shows, in words.</param>
    /// <param name="draw">Draws what is in it, from back to front.</param>
    /// <param name="texts">False to leave out the values along the lower axis, where a plot right below has the same.</param>
    /// <param name="upTicks">False to leave out the values along the left axis, where it has no meaning.</param>
    public static void Draw(HtmlWriter html, Axis across, Axis up, int heightPx, string alt, Action<SvgPlot> draw, bool texts = true, bool upTicks = true)
    {
        using (html.Open("div", ("class", texts ? "plot" : "plot joined")))
        using (html.Open("svg", ("width", "100%"), ("height", heightPx.ToString(CultureInfo.InvariantCulture)), ("role", "img"), ("aria-label", alt), ("class", heightPx > 100 ? "tall" : null)))
        {
            var plot = new SvgPlot(html, across, up);
            plot.Grid(texts, upTicks);
            draw(plot);
        }
    }

    /// <summary>The shapes of <see cref="Mark"/>, once a page.</summary>
    public static void DefineMarks(HtmlWriter html)
    {
        using (html.Open("svg", ("width", "0"), ("height", "0"), ("class", "shapes"), ("aria-hidden", "true")))
        using (html.Open("defs"))
        {
            foreach (Mark mark in Enum.GetValues<Mark>()) html.Empty("path", ("id", Id(mark)), ("d", Outline(mark)));
        }
    }

    /// <summary>A mark by itself, for a key or beside a word.</summary>
    public static void Sign(HtmlWriter html, Mark mark, string style)
    {
        using (html.Open("svg", ("class", "sign " + style), ("width", "16"), ("height", "16"), ("viewBox", "-8 -8 16 16"), ("aria-hidden", "true")))
            html.Empty("use", ("href", "#" + Id(mark)), ("class", "mark " + Filling(mark)));
    }

    /// <summary>A short piece of line, for a key.</summary>
    public static void LineSign(HtmlWriter html, string style)
    {
        using (html.Open("svg", ("class", "sign"), ("width", "28"), ("height", "12"), ("aria-hidden", "true")))
            html.Empty("line", ("x1", "1"), ("x2", "27"), ("y1", "6"), ("y2", "6"), ("class", style));
    }

    /// <summary>A patch of an area, for a key.</summary>
    public static void AreaSign(HtmlWriter html, string style)
    {
        using (html.Open("svg", ("class", "sign"), ("width", "28"), ("height", "12"), ("aria-hidden", "true")))
            html.Empty("rect", ("x", "1"), ("y", "0"), ("width", "26"), ("height", "12"), ("class", style));
    }

    /// <summary>A small plot for a row of a table: values between 0 and <paramref name="top"/>, what is missing to 1 filled.</summary>
    /// <param name="html">Where to.</param>
    /// <param name="points">Share along the row and value.</param>
    /// <param name="top">The largest value that fits.</param>
    /// <param name="alt">What the picture shows, in words.</param>
    public static void InRow(HtmlWriter html, IReadOnlyCollection<(double Share, double Value)> points, double top, string alt)
    {
        const int Width = 320, Height = 60;
        double one = (1 - (1 / top)) * Height;
        var line = new PathText();
        line.Line(points.Select(point => (point.Share * Width, Down(point.Value))));
        var missing = new PathText();
        foreach ((double share, double value) in points.Where(point => point.Value < MissingBelow))
            missing.Box((int)(share * Width), (int)one, Math.Max(1, (Width / Math.Max(1, points.Count)) + 1), (int)(Down(value) - one));
        using (html.Open("svg", ("class", "in-row"), ("width", "128"), ("height", "28"), ("viewBox", "0 0 320 60"), ("preserveAspectRatio", "none"), ("role", "img"), ("aria-label", alt)))
        {
            html.Empty("path", ("d", missing.ToString()), ("class", "area bar"));
            html.Empty("line", ("x1", "0"), ("x2", "320"), ("y1", Number(one)), ("y2", Number(one)), ("class", "line healthy thin"));
            html.Empty("line", ("x1", "0"), ("x2", "320"), ("y1", "59"), ("y2", "59"), ("class", "line rule"));
            html.Empty("path", ("d", line.ToString()), ("class", "line pressure thin"));
        }

        double Down(double value) => (1 - Math.Clamp(value / top, 0, 1)) * Height;
    }

    /// <summary>A bar for a row of a table.</summary>
    public static void Bar(HtmlWriter html, double share, string style)
    {
        using (html.Open("svg", ("class", "in-row"), ("width", "96"), ("height", "12"), ("aria-hidden", "true")))
        {
            html.Empty("rect", ("x", "0"), ("y", "0"), ("width", "100%"), ("height", "12"), ("class", "area bar-room"));
            html.Empty("rect", ("x", "0"), ("y", "0"), ("width", Percent(Math.Clamp(share, 0, 1))), ("height", "12"), ("class", "area " + style));
        }
    }

    /// <summary>A line through points; those that are not finite break it.</summary>
    public void Line(IEnumerable<(double X, double Y)> points, string style)
    {
        var path = new PathText();
        path.Line(points.Select(point => (Across(point.X), Down(point.Y))));
        Stretched(path.ToString(), "line " + style);
    }

    /// <summary>The area between two lines over the same places, where both are known.</summary>
    public void Area(IEnumerable<(double X, double Low, double High)> points, string style)
    {
        var path = new PathText();
        var piece = new List<(double X, double Low, double High)>();
        foreach ((double X, double Low, double High) point in points)
        {
            if (double.IsFinite(point.X) && double.IsFinite(point.Low) && double.IsFinite(point.High)) piece.Add(point);
            else Flush();
        }
        Flush();
        Stretched(path.ToString(), "area " + style);

        void Flush()
        {
            if (piece.Count > 1)
                path.Shape([
                    .. piece.Select(point => ((int)Across(point.X), (int)Down(point.High))),
                    .. Enumerable.Reverse(piece).Select(point => ((int)Across(point.X), (int)Down(point.Low)))]);
            piece.Clear();
        }
    }

    /// <summary>Cells of an even grid, each of them filled; the axes must hold them all.</summary>
    /// <param name="fromX">Where column 0 begins.</param>
    /// <param name="stepX">Width of a column.</param>
    /// <param name="fromY">Where row 0 begins.</param>
    /// <param name="stepY">Height of a row.</param>
    /// <param name="cells">Column and row of each, by column, then by row.</param>
    /// <param name="style">Class of the filling.</param>
    public void Cells(double fromX, double stepX, double fromY, double stepY, IReadOnlyList<(int Column, int Row)> cells, string style)
    {
        if (cells.Count == 0) return;
        int firstColumn = cells.Min(cell => cell.Column), firstRow = cells.Min(cell => cell.Row);
        int columns = cells.Max(cell => cell.Column) + 1 - firstColumn, rows = cells.Max(cell => cell.Row) + 1 - firstRow;
        var path = new PathText();
        for (int i = 0; i < cells.Count;)
        {
            int run = 1;                                                   // neighbours above one another are one box
            while (i + run < cells.Count && cells[i + run].Column == cells[i].Column && cells[i + run].Row == cells[i].Row + run) run++;
            path.Box(cells[i].Column - firstColumn, rows - (cells[i].Row - firstRow) - run, 1, run);
            i += run;
        }
        double left = _across.Share(fromX + (stepX * firstColumn)), right = _across.Share(fromX + (stepX * (firstColumn + columns)));
        double bottom = _up.Share(fromY + (stepY * firstRow)), top = _up.Share(fromY + (stepY * (firstRow + rows)));
        using (_html.Open("svg", ("x", Percent(left)), ("y", Percent(1 - top)), ("width", Percent(right - left)), ("height", Percent(top - bottom)),
            ("viewBox", string.Create(CultureInfo.InvariantCulture, $"0 0 {columns} {rows}")), ("preserveAspectRatio", "none"), ("class", "crisp")))
            _html.Empty("path", ("d", path.ToString()), ("class", "area " + style));
    }

    /// <summary>A stretch of the lower axis, over the whole height.</summary>
    public void Span(double from, double to, string style) => _html.Empty("rect",
        ("x", Percent(_across.Share(from))), ("y", "0"), ("width", Percent(_across.Share(to) - _across.Share(from))), ("height", "100%"), ("class", "area " + style));

    /// <summary>A box.</summary>
    public void Box(double fromX, double toX, double fromY, double toY, string style) => _html.Empty("rect",
        ("x", Percent(_across.Share(fromX))), ("y", Percent(1 - _up.Share(toY))),
        ("width", Percent(_across.Share(toX) - _across.Share(fromX))), ("height", Percent(_up.Share(toY) - _up.Share(fromY))), ("class", "area " + style));

    /// <summary>A line from bottom to top, with a word at its head.</summary>
    public void Upright(double x, string style, string? word = null)
    {
        string at = Percent(_across.Share(x));
        _html.Empty("line", ("x1", at), ("x2", at), ("y1", "0"), ("y2", "100%"), ("class", "line " + style));
        if (word is null) return;
        bool leftwards = _across.Share(x) > 0.7;
        _html.Leaf("text", word, ("x", at), ("dx", leftwards ? "-5" : "5"), ("y", "11"), ("class", leftwards ? "note end" : "note"));
    }

    /// <summary>A line from left to right.</summary>
    public void Level(double y, string style)
    {
        string at = Percent(1 - _up.Share(y));
        _html.Empty("line", ("x1", "0"), ("x2", "100%"), ("y1", at), ("y2", at), ("class", "line " + style));
    }

    /// <summary>A mark.</summary>
    public void Point(double x, double y, Mark mark, string style)
    {
        if (!double.IsFinite(x) || !double.IsFinite(y)) return;
        _html.Empty("use", ("href", "#" + Id(mark)), ("x", Percent(_across.Share(x))), ("y", Percent(1 - _up.Share(y))), ("class", $"mark {Filling(mark)} {style}"));
    }

    /// <summary>Words beside a point.</summary>
    public void Note(double x, double y, string words)
    {
        bool leftwards = _across.Share(x) > 0.7;
        _html.Leaf("text", words, ("x", Percent(_across.Share(x))), ("dx", leftwards ? "-9" : "9"), ("y", Percent(1 - _up.Share(y))), ("dy", "4"),
            ("class", leftwards ? "note end" : "note"));
    }

    private static string Id(Mark mark) => mark switch
    {
        Mark.Triangle => "m-t",
        Mark.Diamond => "m-d",
        Mark.Ring => "m-r",
        Mark.LeftFull => "m-lf",
        Mark.LeftEmpty => "m-le",
        Mark.RightFull => "m-rf",
        _ => "m-re",
    };

    private static string Outline(Mark mark) => mark switch
    {
        Mark.Triangle => "M0-6.5 6.5 5h-13z",
        Mark.Diamond => "M0-6 6 0 0 6-6 0z",
        Mark.Ring => "M-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z",
        Mark.LeftFull or Mark.LeftEmpty => "M-6 0 4.5-5v10z",
        _ => "M6 0-4.5-5v10z",
    };

    private static string Filling(Mark mark) => mark is Mark.Ring or Mark.LeftEmpty or Mark.RightEmpty ? "hollow" : "full";

    private static string Percent(double share) => Number(share * 100) + "%";

    private static string Number(double value)
    {
        string text = (double.IsFinite(value) ? value : 0).ToString("F2", CultureInfo.InvariantCulture).TrimEnd('0').TrimEnd('.');
        return text is "-0" ? "0" : text;
    }

    private double Across(double x) => double.IsFinite(x) ? Math.Round(_across.Share(x) * GridX) : double.NaN;

    private double Down(double y) => double.IsFinite(y) ? Math.Round((1 - _up.Share(y)) * GridY) : double.NaN;

    private void Stretched(string path, string style)
    {
        if (path.Length == 0) return;
        using (_html.Open("svg", ("width", "100%"), ("height", "100%"), ("viewBox", string.Create(CultureInfo.InvariantCulture, $"0 0 {GridX} {GridY}")),
            ("preserveAspectRatio", "none")))
            _html.Empty("path", ("d", path), ("class", style));
    }

    private void Grid(bool texts, bool upTicks)
    {
        foreach ((double value, string text) in upTicks ? _up.Ticks : [])
        {
            string at = Percent(1 - _up.Share(value));
            _html.Empty("line", ("x1", "0"), ("x2", "100%"), ("y1", at), ("y2", at), ("class", "line grid"));
            _html.Leaf("text", text, ("x", "0"), ("dx", "-7"), ("y", at), ("dy", "4"), ("class", "tick end"));
        }
        foreach ((int place, (double value, string text)) in _across.Ticks.Index())
        {
            string at = Percent(_across.Share(value));
            _html.Empty("line", ("x1", at), ("x2", at), ("y1", "0"), ("y2", "100%"), ("class", "line grid"));
            if (texts) _html.Leaf("text", text, ("x", at), ("y", "100%"), ("dy", "16"), ("class", _across.Ticks.Length > MostTicksOnPhone && place % 2 == 1 ? "tick middle spare" : "tick middle"));
        }
    }
}
