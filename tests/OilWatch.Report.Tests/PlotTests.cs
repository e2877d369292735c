using System.Globalization;
using System.Xml.Linq;
using CsCheck;
using OilWatch.Report.Markup;
using OilWatch.Report.Plots;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Report.Tests;

public sealed class PlotTests
{
    [Theory]
    [InlineData(0, 577, 5, "0 200 400 600")]
    [InlineData(0, 7382, 8, "0 1000 2000 3000 4000 5000 6000 7000 8000")]
    [InlineData(-1.2, 0.74, 3, "−2 −1 0 1")]
    [InlineData(0, 1, 4, "0.00 0.25 0.50 0.75 1.00")]
    [InlineData(-0.03, 0.02, 5, "−0.03 −0.02 −0.01 0.00 0.01 0.02")]
    public void An_axis_ends_at_round_values(double low, double high, int most, string ticks)
    {
        Axis axis = Axis.Around(low, high, most);
        Assert.Equal(ticks, string.Join(' ', axis.Ticks.Select(tick => tick.Text)));
        Assert.Equal((0, 1), (axis.Share(axis.Ticks[0].Value), axis.Share(axis.Ticks[^1].Value)));
    }

    [Fact]
    public void An_axis_may_end_exactly_where_it_is_told()
    {
        Axis axis = Axis.Exactly(-3.97, 6.4);
        Assert.Equal("−2 0 2 4 6", string.Join(' ', axis.Ticks.Select(tick => tick.Text)));
        Assert.Equal((0, 1), (axis.Share(-3.97), axis.Share(6.4)));
        Assert.Equal((0, 1), (axis.Share(-100), axis.Share(100)));
    }

    [Fact]
    public void Any_range_makes_an_axis_with_few_ticks() => Gen.Select(Gen.Double, Gen.Double, Gen.Int[2, 10]).Sample((low, high, most) =>
    {
        Axis axis = Axis.Around(Math.Min(low, high), Math.Max(low, high), most);
        Assert.True(axis.From < axis.To);
        Assert.InRange(axis.Ticks.Length, 0, most + 3);
        Assert.InRange(axis.Share(low), 0, 1);
    }, seed: "0000KOlLoOl9", iter: 20_000);

    [Theory]
    [InlineData("0,0 10,0 20,0 30,5", "M0 0l20 0 10 5")]                        // what lies on the line is left out
    [InlineData("0,0 10,-3 20,4", "M0 0l10-3 10 7")]
    [InlineData("0,0 NaN,0 5,5", "M0 0h0M5 5h0")]                               // a gap is a gap
    [InlineData("", "")]
    public void A_line_is_written_in_steps_from_point_to_point(string points, string path)
    {
        var text = new PathText();
        text.Line(points.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(point => point.Split(',')).Select(xy =>
            (double.Parse(xy[0], CultureInfo.InvariantCulture), double.Parse(xy[1], CultureInfo.InvariantCulture))));
        Assert.Equal(path, text.ToString());
    }

    [Fact]
    public void No_point_lies_farther_from_the_written_line_than_the_eye_can_tell() => Gen.Int[0, 1000].Array[2, 200].Sample(heights =>
    {
        var text = new PathText();
        text.Line(heights.Select((y, x) => ((double)(x * 3), (double)y)));
        List<(int X, int Y)> kept = Points(text.ToString());
        foreach ((int x, int y) in heights.Select((y, x) => (x * 3, y)))
        {
            int after = kept.FindIndex(point => point.X >= x);
            (int X, int Y) right = kept[after], left = kept[Math.Max(0, after - 1)];
            double along = right.X == left.X ? 0 : (double)(x - left.X) / (right.X - left.X);
            double steep = right.X == left.X ? 0 : (double)(right.Y - left.Y) / (right.X - left.X);
            double off = Math.Abs(left.Y + (along * (right.Y - left.Y)) - y) / Math.Sqrt(1 + (steep * steep));
            Assert.True(off <= 0.51 || (right.X, right.Y) == (x, y), $"{off} at {x}");
        }
    }, seed: "0000KOlLoOl9", iter: 500);

    [Fact]
    public void A_hundred_thousand_zigzags_do_not_exhaust_the_stack()
    {
        var text = new PathText();
        text.Line(Enumerable.Range(0, 20_000).Select(x => ((double)x, (double)(x % 2 * (x % 1000)))));
        Assert.StartsWith("M0 0l1", text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Cells_lie_where_their_values_are()
    {
        // Columns 10 wide from 0, rows 5 high from -100: cells (2, 20) and (2, 21) span 20..30 and 0..10.
        XElement plot = Drawn(Axis.Exactly(0, 100), Axis.Exactly(-10, 10), plot => plot.Cells(0, 10, -100, 5, [(2, 20), (2, 21)], "time1"));
        XElement cells = plot.Elements("svg").Single();
        Assert.Equal(("20%", "0%", "10%", "50%", "0 0 1 2"), ((string?)cells.Attribute("x"), (string?)cells.Attribute("y"), (string?)cells.Attribute("width"), (string?)cells.Attribute("height"), (string?)cells.Attribute("viewBox")));
        Assert.Equal("M0 0h1v2h-1z", (string?)cells.Element("path")!.Attribute("d"));
    }

    [Fact]
    public void An_area_is_drawn_only_where_both_its_lines_are_known()
    {
        XElement plot = Drawn(Axis.Exactly(0, 10), Axis.Exactly(0, 10), plot => plot.Area([(0, 0, 10), (5, 0, 10), (6, double.NaN, 10), (8, 0, 10), (10, 0, 5)], "band"));
        Assert.Equal("M0 0l1000 0 0 1000-1000 0zM1600 0l400 500 0 500-400 0z", (string?)plot.Descendants("path").Single().Attribute("d"));
    }

    [Fact]
    public void Marks_are_told_apart_by_shape()
    {
        using var text = new StringWriter();
        SvgPlot.DefineMarks(new HtmlWriter(text));
        string[] outlines = [.. Sample.Parsed(text.ToString()).Descendants("path").Select(path => (string)path.Attribute("d")!)];
        Assert.Equal(Enum.GetValues<Mark>().Length, outlines.Length);
        Assert.Equal(5, outlines.Distinct(StringComparer.Ordinal).Count());         // the empty ones have the outline of the full ones
    }

    private static XElement Drawn(Axis across, Axis up, Action<SvgPlot> draw)
    {
        using var text = new StringWriter();
        SvgPlot.Draw(new HtmlWriter(text), across, up, 100, "A picture.", draw);
        return Sample.Parsed(text.ToString()).Root!.Element("svg")!;
    }

    private static List<(int X, int Y)> Points(string path)
    {
        var points = new List<(int X, int Y)>();
        string[] numbers = [.. path.Replace("M", " ", StringComparison.Ordinal).Replace("l", " ", StringComparison.Ordinal).Replace("-", " -", StringComparison.Ordinal)
            .Split(' ', StringSplitOptions.RemoveEmptyEntries)];
        int x = 0, y = 0;
        for (int i = 0; i < numbers.Length; i += 2)
        {
            x += int.Parse(numbers[i], CultureInfo.InvariantCulture);
            y += int.Parse(numbers[i + 1], CultureInfo.InvariantCulture);
            points.Add((x, y));
        }
        return points;
    }
}
