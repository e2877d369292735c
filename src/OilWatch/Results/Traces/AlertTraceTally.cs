using System.Runtime.InteropServices;
using OilWatch.Alerts;

namespace OilWatch.Results.Traces;

/// <summary>Gathers the readings around one alert in bounded memory: when there are too many, neighbours are drawn together.</summary>
internal sealed class AlertTraceTally(int id)
{
    /// <summary>Most points of a close-up.</summary>
    public const int MostPoints = 600;

    private readonly List<TracePoint> _points = [];
    private double _leastS;

    /// <summary>The alert's number in its run.</summary>
    public int Id => id;

    /// <summary>The alert once it is over; until then null.</summary>
    public Alert? Ended { get; set; }

    /// <summary>Takes a point; one too close to the last is drawn together with it.</summary>
    public void Add(in TracePoint point)
    {
        if (_points.Count == MostPoints) Thin();
        AddTo(_points, in point, _leastS);
    }

    /// <summary>The close-up.</summary>
    public AlertTrace Trace() => new(Ended!, [.. _points]);

    /// <summary>Adds a point, or, within <paramref name="leastS"/> of the last, keeps of the two the one with less pressure for what it should be.</summary>
    public static void AddTo(List<TracePoint> points, in TracePoint point, double leastS)
    {
        if (points.Count > 0 && point.At.SecondsSince(points[^1].At) < leastS) CollectionsMarshal.AsSpan(points)[^1] = Lower(points[^1], in point);
        else points.Add(point);
    }

    /// <summary>Of two neighbours the one that says more: less pressure for what it should be; the earlier one's time, so that the steps stay even.</summary>
    public static TracePoint Lower(TracePoint earlier, in TracePoint later) =>
        Depth(later) < Depth(earlier) || float.IsNaN(Depth(earlier)) ? later with { At = earlier.At } : earlier;

    private static float Depth(TracePoint point) => float.IsNaN(point.ExpectedKpa) ? point.PressureKpa : point.PressureKpa - point.ExpectedKpa;

    private void Thin()
    {
        _leastS = 2 * _points[^1].At.SecondsSince(_points[0].At) / MostPoints;
        TracePoint[] all = [.. _points];
        _points.Clear();
        foreach (ref readonly TracePoint point in all.AsSpan()) AddTo(_points, in point, _leastS);
        if (_points.Count == MostPoints) _points.RemoveAt(MostPoints - 1);   // all at one instant
    }
}
