using System.Globalization;
using System.Text;

namespace OilWatch.Report.Plots;

/// <summary>Writes lines as SVG path data on a whole-number grid, without the points that the eye cannot tell.</summary>
internal sealed class PathText
{
    private readonly StringBuilder _text = new();

    /// <summary>The path data; empty when there is nothing to draw.</summary>
    public override string ToString() => _text.ToString();

    /// <summary>A line through points; those that are not finite break it.</summary>
    /// <param name="points">Points on the grid.</param>
    public void Line(IEnumerable<(double X, double Y)> points)
    {
        var piece = new List<(int X, int Y)>();
        foreach ((double x, double y) in points)
        {
            if (double.IsFinite(x) && double.IsFinite(y)) piece.Add(((int)Math.Round(x), (int)Math.Round(y)));
            else Flush(piece, closed: false);
        }
        Flush(piece, closed: false);
    }

    /// <summary>A closed shape.</summary>
    public void Shape(List<(int X, int Y)> corners) => Flush(corners, closed: true);

    /// <summary>A rectangle.</summary>
    public void Box(int x, int y, int width, int height) =>
        _text.Append(CultureInfo.InvariantCulture, $"M{x} {y}h{width}v{height}h{-width}z");

    private void Flush(List<(int X, int Y)> piece, bool closed)
    {
        if (piece.Count == 0) return;
        (int X, int Y)[] kept = Simplified([.. piece]);
        piece.Clear();
        _text.Append(CultureInfo.InvariantCulture, $"M{kept[0].X} {kept[0].Y}");
        if (kept.Length == 1) _text.Append("h0");                        // a dot
        for (int i = 1; i < kept.Length; i++)
        {
            int right = kept[i].X - kept[i - 1].X, down = kept[i].Y - kept[i - 1].Y;
            if (i == 1) _text.Append('l');
            else if (right >= 0) _text.Append(' ');                      // a minus sets apart by itself
            _text.Append(CultureInfo.InvariantCulture, $"{right}");
            if (down >= 0) _text.Append(' ');
            _text.Append(CultureInfo.InvariantCulture, $"{down}");
        }
        if (closed) _text.Append('z');
    }

    /// <summary>Leaves out points that lie within half a grid step of the line without them.</summary>
    /// <remarks>Source: D. H. Douglas and T. K. Peucker, Cartographica 10 (1973) 112–122; with a stack of its own, so that no input can exhaust the program's.</remarks>
    private static (int X, int Y)[] Simplified((int X, int Y)[] points)
    {
        if (points.Length < 3) return points;
        var keep = new bool[points.Length];
        keep[0] = keep[^1] = true;
        var left = new Stack<(int From, int To)>();
        left.Push((0, points.Length - 1));
        while (left.TryPop(out (int From, int To) span))
        {
            double most = 0.5;
            int farthest = -1;
            for (int i = span.From + 1; i < span.To; i++)
            {
                double off = Off(points[i], points[span.From], points[span.To]);
                if (off <= most) continue;
                most = off;
                farthest = i;
            }
            if (farthest < 0) continue;
            keep[farthest] = true;
            left.Push((span.From, farthest));
            left.Push((farthest, span.To));
        }
        return [.. points.Where((_, i) => keep[i])];
    }

    private static double Off((int X, int Y) point, (int X, int Y) from, (int X, int Y) to)
    {
        double x = to.X - from.X, y = to.Y - from.Y, squared = (x * x) + (y * y);
        double along = squared == 0 ? 0 : Math.Clamp((((point.X - from.X) * x) + ((point.Y - from.Y) * y)) / squared, 0, 1);
        double right = point.X - from.X - (along * x), down = point.Y - from.Y - (along * y);
        return Math.Sqrt((right * right) + (down * down));
    }
}
